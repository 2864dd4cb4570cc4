// SPDX-License-Identifier: MIT
// Sorting of the table of feeds, and a feed's picture beside what is pointed
// at. The page is whole without it.
"use strict";
(() => {
  const table = document.getElementById("feeds");
  const key = (row, column) => {
    const cell = row.cells[column];
    const sort = cell.dataset.sort;
    return sort === undefined ? cell.textContent.trim()
         : sort === "" ? null : Number(sort);
  };
  const compare = (a, b) =>
    a === b ? 0 : a === null ? 1 : b === null ? -1 : a < b ? -1 : 1;
  const sortBy = (heading) => {
    const column = heading.cellIndex;
    const down = heading.getAttribute("aria-sort") === "ascending";
    for (const other of table.tHead.rows[0].cells) {
      other.removeAttribute("aria-sort");
    }
    heading.setAttribute("aria-sort", down ? "descending" : "ascending");
    const body = table.tBodies[0];
    const rows = [...body.rows];
    // Unknown values stay at the end whichever way the rest is sorted.
    rows.sort((p, q) => {
      const a = key(p, column), b = key(q, column);
      return a === null || b === null ? compare(a, b)
           : (down ? -1 : 1) * compare(a, b);
    });
    body.append(...rows);
  };
  if (table) {
    for (const heading of table.tHead.rows[0].cells) {
      heading.querySelector("button").addEventListener(
        "click", () => sortBy(heading));
    }
  }
})();

(() => {
  const links = document.querySelectorAll('a[href^="#picture-"]');
  if (!links.length) return;
  const peek = document.createElement("div");
  peek.id = "peek";
  peek.hidden = true;
  peek.setAttribute("role", "status");
  document.body.append(peek);
  let shown = null, pinned = false;
  const hide = () => { peek.hidden = true; shown = null; pinned = false; };
  // Where it hides neither the mark nor itself behind the window's edge.
  const place = (link) => {
    const mark = link.getBoundingClientRect(), own = peek.getBoundingClientRect();
    const wide = document.documentElement.clientWidth, high = window.innerHeight;
    const gap = 12;
    const below = mark.bottom + gap + own.height <= high;
    const above = mark.top - gap - own.height >= 0;
    const beside = mark.right + gap + own.width <= wide ? mark.right + gap
                 : mark.left - gap - own.width;
    const top = below ? mark.bottom + gap : above ? mark.top - gap - own.height
              : Math.max(0, high - own.height);
    const left = below || above || beside < 0
      ? Math.min(Math.max(4, mark.left), wide - own.width - 4) : beside;
    peek.style.top = `${top}px`;
    peek.style.left = `${left}px`;
  };
  const show = (link) => {
    const figure = document.querySelector(link.getAttribute("href"));
    if (!figure) return;
    const image = new Image();
    image.alt = figure.querySelector("img").alt;
    const words = document.createElement("p");
    words.innerHTML = figure.querySelector("figcaption").innerHTML;
    image.onload = () => { if (shown === link) place(link); };
    image.src = figure.querySelector("img").src;
    peek.replaceChildren(image, words);
    peek.hidden = false;
    shown = link;
    place(link);
  };
  for (const link of links) {
    link.addEventListener("mouseenter", () => { if (!pinned) show(link); });
    link.addEventListener("mouseleave", () => { if (!pinned) hide(); });
    link.addEventListener("focus", () => { if (!pinned) show(link); });
    link.addEventListener("blur", () => { if (!pinned) hide(); });
    // A tap or click keeps it; a second one, or Escape, puts it away.
    link.addEventListener("click", (event) => {
      event.preventDefault();
      event.stopPropagation();
      if (pinned && shown === link) return hide();
      show(link);
      pinned = true;
    });
  }
  document.addEventListener("click", (event) => {
    if (!peek.contains(event.target)) hide();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") hide();
  });
  document.addEventListener("scroll", () => { if (shown) place(shown); },
                            { capture: true, passive: true });
})();
