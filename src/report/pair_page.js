// SPDX-License-Identifier: MIT
// The two pictures of a comparison: estimates with their intervals, and the
// balance of the feeds. The page says the same in tables.
'use strict';
(() => {
  const source = document.getElementById('chart-data');
  if (!source || typeof Chart === 'undefined') return;
  const data = JSON.parse(source.textContent);
  const colour = (name) =>
      getComputedStyle(document.documentElement).getPropertyValue('--' + name);

  // A vertical line at 0, and at the other places given.
  const rulers = (places) => ({
    id: 'rulers',
    beforeDatasetsDraw(plot) {
      const {ctx, chartArea: area, scales: {x}} = plot;
      ctx.save();
      for (const [place, dash] of [
               [0, []],
               ...places.map((p) => [p, [4, 4]])]) {
        const at = x.getPixelForValue(place);
        if (at < area.left || at > area.right) continue;
        ctx.strokeStyle = colour('soft');
        ctx.setLineDash(dash);
        ctx.beginPath();
        ctx.moveTo(at, area.top);
        ctx.lineTo(at, area.bottom);
        ctx.stroke();
      }
      ctx.restore();
    },
  });

  const options = (labels, title) => ({
    animation: false,
    maintainAspectRatio: false,
    responsive: true,
    plugins: {
      legend: {display: false},
      tooltip: {
        callbacks: {
          label: (item) =>
              labels[item.parsed.y] + ': ' + item.parsed.x.toPrecision(3)
        }
      },
    },
    scales: {
      x: {
        title: {display: true, text: title, color: colour('soft')},
        ticks: {color: colour('soft')},
        grid: {color: colour('rule')},
        grace: '6%'
      },
      y: {
        min: -0.5,
        max: labels.length - 0.5,
        reverse: true,
        afterBuildTicks: (axis) => {
          axis.ticks = labels.map((_, value) => ({value}));
        },
        ticks: {color: colour('ink'), callback: (value) => labels[value] || ''},
        grid: {display: false}
      },
    },
  });

  const effectPlot = (effect, i) => {
    const labels = effect.estimates.map((one) => one.label);
    const sets = effect.estimates.map(
        (one, y) => ({
          data: [one.low, one.value, one.high].map((x) => ({x, y})),
          showLine: true,
          borderWidth: y === 0 ? 4 : 2,
          borderColor: colour(y === 0 ? 'keep' : 'soft'),
          backgroundColor: colour(y === 0 ? 'keep' : 'soft'),
          pointRadius: [0, y === 0 ? 7 : 5, 0],
        }));
    return new Chart(document.getElementById('effect-' + i), {
      type: 'scatter',
      plugins: [rulers([])],
      options: options(labels, 'difference in ' + effect.title),
      data: {datasets: sets},
    });
  };

  const balancePlot = (rows, i) => {
    const labels = rows.map((row) => row.name);
    const points = (key) => rows.map((row, y) => ({x: row[key], y}))
                                .filter((point) => point.x !== null);
    const shade = colour('keep');
    return new Chart(document.getElementById('balance-' + i), {
      type: 'scatter',
      plugins: [rulers([-0.1, 0.1])],
      options: options(labels, 'difference of means (sd)'),
      data: {
        datasets: [
          {
            data: points('before'),
            pointRadius: 6,
            borderColor: shade,
            borderWidth: 2,
            backgroundColor: 'transparent'
          },
          {
            data: points('after'),
            pointRadius: 6,
            borderColor: shade,
            backgroundColor: shade
          },
        ]
      },
    });
  };

  let plots = [];
  const draw = () => {
    for (const plot of plots) plot.destroy();
    plots =
        [...data.effects.map(effectPlot), ...data.balances.map(balancePlot)];
  };
  draw();
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', draw);
  addEventListener('beforeprint', draw);
  addEventListener('afterprint', draw);
})();
