// SPDX-License-Identifier: MIT
// A button below every drawing that saves it as SVG or PNG, as `evenfeed
// report --pictures` does (take_away.cpp): on white, with its caption. And what
// is folded is unfolded for paper.
'use strict';
(() => {
  // Paper has nothing to click on: what is folded is opened for it. Newer
  // browsers need only the style for that.
  let folded = [];
  addEventListener('beforeprint', () => {
    folded = [...document.querySelectorAll('details:not([open])')];
    for (const one of folded) one.open = true;
  });
  addEventListener('afterprint', () => {
    for (const one of folded) one.open = false;
  });
  const style = document.getElementById('picture-style');
  if (!style) return;
  const escaped = (text) => text.replace(
      /[&<>"]/g,
      (c) => ({'&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;'})[c]);
  const broken = (text, most) => text.split(' ').reduce((lines, word) => {
    const last = lines[lines.length - 1];
    if (last && last.length + 1 + word.length > most)
      lines.push(word);
    else
      lines[lines.length - 1] = last ? `${last} ${word}` : word;
    return lines;
  }, ['']);
  const file = (figure) => {
    const svg = figure.querySelector(':scope > svg').cloneNode(true);
    for (const link of svg.querySelectorAll('a')) {
      link.replaceWith(...link.childNodes);
    }
    const {width, height} = svg.viewBox.baseVal;
    const letter = Number(figure.dataset.letter) * width;
    let top = 0.3 * letter;
    const lines = (text, size, look) =>
        broken(text, width / (0.56 * size))
            .map((line) => {
              top += 1.35 * size;
              return `<text class="${look}" x="${size}" y="${top}" font-size="${
                         size}">` +
                  `${escaped(line)}</text>`;
            })
            .join('\n');
    const heading = lines(figure.dataset.title, 1.2 * letter, 'heading');
    top += 0.6 * letter;
    svg.setAttribute('y', top);
    svg.setAttribute('width', width);
    svg.setAttribute('height', height);
    top += height;
    const caption = lines(figure.dataset.caption, 0.8 * letter, 'caption');
    top += letter;
    const inside = new XMLSerializer().serializeToString(svg);
    return {
      width,
      height: top,
      text: `<svg xmlns="${svg.namespaceURI}" viewBox="0 0 ${width} ${
                top}" ` +
          `width="${Math.round(width)}" height="${Math.round(top)}" ` +
          `font-size="${letter}"><style>${style.textContent}</style>` +
          `<rect class="paper" x="-1" y="-1" width="${width + 2}" height="${top + 2}"/>` +
          `${heading}${inside}${caption}</svg>`
    };
  };
  const save = (name, address) => {
    const link = document.createElement('a');
    link.download = name;
    link.href = address;
    link.click();
  };
  const address = (text) =>
      'data:image/svg+xml;charset=utf-8,' + encodeURIComponent(text);
  const savePng = (figure) => {
    const {width, height, text} = file(figure);
    const image = new Image();
    image.onload = () => {
      const canvas = document.createElement('canvas');
      canvas.width = 1920;
      canvas.height = Math.round(1920 * height / width);
      canvas.getContext('2d').drawImage(
          image, 0, 0, canvas.width, canvas.height);
      save(`${figure.dataset.name}.png`, canvas.toDataURL('image/png'));
    };
    image.src = address(text);
  };
  for (const figure of document.querySelectorAll('figure[data-name]')) {
    if (!figure.querySelector(':scope > svg')) continue;
    const row = document.createElement('p');
    row.className = 'take';
    const add = (word, act) => {
      const button = document.createElement('button');
      button.type = 'button';
      button.textContent = word;
      button.setAttribute(
          'aria-label', `${word}: save ${figure.dataset.title}`);
      button.addEventListener('click', act);
      row.append(button);
    };
    add('SVG',
        () => save(`${figure.dataset.name}.svg`, address(file(figure).text)));
    add('PNG', () => savePng(figure));
    figure.append(row);
  }
})();
