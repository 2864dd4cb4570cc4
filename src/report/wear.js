// SPDX-License-Identifier: MIT
// The pictures of wear.html, from the same data as wear.json.
"use strict";
(() => {
  const source = document.getElementById("wear-data");
  if (!source || typeof Chart === "undefined") return;
  const data = JSON.parse(source.textContent);
  const colour = (name) =>
    getComputedStyle(document.documentElement).getPropertyValue("--" + name);
  // Values of levels are logarithms in per cent.
  const levelOf = (measure) => {
    const logs = measure.unit === "%" && measure.measure !== "drift";
    return (value) => value === null || value === undefined ? null
         : logs ? Math.exp(value / 100) : value;
  };

  const marks = (measure) => ({
    id: "marks",
    beforeDatasetsDraw(plot) {
      const { ctx, chartArea: area, scales: { x, y } } = plot;
      const level = levelOf(measure);
      ctx.save();
      ctx.font = "11px system-ui, sans-serif";
      for (const service of data.services) {
        const at = x.getPixelForValue(service.feeds);
        if (at < area.left || at > area.right) continue;
        ctx.strokeStyle = ctx.fillStyle = colour("soft");
        ctx.setLineDash([2, 3]);
        ctx.beginPath();
        ctx.moveTo(at, area.top);
        ctx.lineTo(at, area.bottom);
        ctx.stroke();
        const right = at < (area.left + area.right) / 2;
        ctx.textAlign = right ? "left" : "right";
        ctx.fillText(service.words, at + (right ? 4 : -4), area.top + 11);
      }
      ctx.setLineDash([]);
      ctx.strokeStyle = colour("keep");
      for (const one of measure.sessions) {
        const at = x.getPixelForValue(one.feeds);
        ctx.beginPath();
        ctx.moveTo(at, y.getPixelForValue(level(one.value - 2 * one.error)));
        ctx.lineTo(at, y.getPixelForValue(level(one.value + 2 * one.error)));
        ctx.stroke();
      }
      ctx.restore();
    },
  });

  const datasets = (measure) => {
    const level = levelOf(measure);
    const points = (list, key) => list.map((one) =>
      ({ x: one.feeds, y: level(one[key]) })).filter((one) => one.y !== null);
    const line = (label, list, key, shade, more) => ({
      label, data: points(list, key), showLine: true, pointRadius: 0,
      pointHitRadius: 0, borderColor: shade, borderWidth: 1.5, ...more,
    });
    const out = (one) => one.upper !== undefined && one.upper !== null &&
      (one.value > one.upper || one.value < one.lower);
    const ink = colour("ink"), far = colour("discard"), keep = colour("keep");
    const sets = [{
      label: "session", data: points(measure.sessions, "value"), order: 0,
      pointRadius: 4, pointBackgroundColor: measure.sessions.map((one) =>
        out(one) ? far : keep),
      pointStyle: measure.sessions.map((one) => out(one) ? "rect" : "circle"),
      pointBorderWidth: 0,
    },
    line("trend", measure.sessions, "fitted", ink),
    line("upper limit", measure.sessions, "upper", far,
         { borderDash: [7, 4], borderWidth: 1 }),
    line("lower limit", measure.sessions, "lower", far,
         { borderDash: [7, 4], borderWidth: 1 })];
    const band = measure.forecast ? measure.forecast.band : [];
    if (band.length) {
      const shade = "rgba(120, 130, 140, .25)";
      sets.push(
        line("forecast", band, "centre", ink, { borderDash: [3, 3] }),
        line("forecast, from", band, "low", "transparent",
             { fill: "+1", backgroundColor: shade }),
        line("forecast, to", band, "high", "transparent"));
    }
    return sets;
  };

  const options = (measure) => ({
    animation: false, maintainAspectRatio: false, responsive: true,
    plugins: {
      legend: { display: false },
      tooltip: {
        filter: (item) => item.datasetIndex === 0,
        callbacks: {
          label: (item) => {
            const one = measure.sessions[item.dataIndex];
            return `session ${one.session}, ${one.date.slice(0, 10)}: ` +
              `${one.level.toPrecision(5)} ${measure.level_unit}`;
          },
        },
      },
    },
    scales: {
      x: { type: "linear", grid: { display: false },
           title: { display: true, text: "feeds run", color: colour("soft") },
           ticks: { color: colour("soft"), maxRotation: 0 } },
      y: { ticks: { color: colour("soft") }, grace: "8%",
           grid: { color: colour("rule") } },
    },
  });

  let plots = [];
  const draw = () => {
    for (const plot of plots) plot.destroy();
    plots = [];
    data.measures.forEach((measure, i) => {
      const canvas = document.getElementById("chart-" + i);
      if (!canvas) return;
      plots.push(new Chart(canvas, {
        type: "scatter", plugins: [marks(measure)], options: options(measure),
        data: { datasets: datasets(measure) },
      }));
    });
  };
  draw();
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  addEventListener("beforeprint", draw);
  addEventListener("afterprint", draw);
})();
