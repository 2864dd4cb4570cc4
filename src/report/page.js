// SPDX-License-Identifier: MIT
// Sorting of the table of feeds, and the control charts. The page says what
// matters without any of this.
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

  const source = document.getElementById("chart-data");
  if (!source || typeof Chart === "undefined") return;
  const data = JSON.parse(source.textContent);
  const colour = (name) =>
    getComputedStyle(document.documentElement).getPropertyValue("--" + name);
  const shapes = { keep: "circle", review: "triangle", discard: "crossRot" };
  const verdictOf = (feed) => (data.feeds[feed] || {}).verdict || "unjudged";

  const horizontal = (label, values, dash, shade, width = 1.5) => ({
    label, data: values, borderColor: shade, borderWidth: width,
    borderDash: dash, pointRadius: 0, pointHitRadius: 0, stepped: "middle",
  });

  // Warning lines stand two thirds of the way from the centre to the limits.
  const warning = (chart, limits) => limits.map((limit) =>
    limit === null || chart.centre === null ? null
      : chart.centre + (limit - chart.centre) * 2 / 3);

  const datasets = (chart) => {
    const ink = colour("ink"), soft = colour("soft"), far = colour("discard");
    const verdicts = chart.feed.map(verdictOf);
    const beyond = chart.value.map((value, i) => value !== null &&
      ((chart.upper[i] !== null && value > chart.upper[i]) ||
       (chart.lower[i] !== null && value < chart.lower[i])));
    const shades = verdicts.map((verdict) => colour(verdict));
    const sets = [{
      label: "value", data: chart.value, borderColor: soft, borderWidth: 1,
      pointStyle: verdicts.map((verdict) => shapes[verdict] || "rect"),
      pointRadius: 4, pointBackgroundColor: shades, pointBorderColor: shades,
      pointBorderWidth: 2, spanGaps: true, order: 1,
    }, {
      label: "beyond its limit", showLine: false, order: 0,
      data: chart.value.map((value, i) => beyond[i] ? value : null),
      pointStyle: "circle", pointRadius: 9, pointBorderWidth: 2.5,
      pointBackgroundColor: "transparent", pointBorderColor: far,
    }];
    const lines = [
      ["centre", chart.feed.map(() => chart.centre), [], ink, 1],
      ["upper limit", chart.upper, [7, 4], far],
      ["lower limit", chart.lower, [7, 4], far],
    ];
    if (chart.lower.some((limit) => limit !== null)) {
      lines.push(["warning", warning(chart, chart.upper), [2, 4], soft, 1],
                 ["warning", warning(chart, chart.lower), [2, 4], soft, 1]);
    }
    for (const [label, values, dash, shade, width] of lines) {
      if (values.some((value) => value !== null)) {
        sets.push({ ...horizontal(label, values, dash, shade, width),
                    order: 2 });
      }
    }
    return sets;
  };

  // Phases as bands behind the points.
  const bands = {
    id: "bands",
    beforeDatasetsDraw(plot) {
      const { ctx, chartArea: area, scales: { x } } = plot;
      const feeds = plot.data.labels;
      const half = feeds.length > 1
        ? (x.getPixelForValue(1) - x.getPixelForValue(0)) / 2 : 10;
      ctx.save();
      ctx.fillStyle = colour("soft");
      let start = 0;
      const phase = (i) => (data.feeds[feeds[i]] || {}).phase || "";
      for (let i = 1; i <= feeds.length; ++i) {
        if (i < feeds.length && phase(i) === phase(start)) continue;
        const left = Math.max(area.left, x.getPixelForValue(start) - half);
        const right = Math.min(area.right, x.getPixelForValue(i - 1) + half);
        ctx.globalAlpha = { "warm-up": .22, baseline: .09 }[phase(start)] || 0;
        ctx.fillRect(left, area.top, right - left, area.bottom - area.top);
        ctx.globalAlpha = 1;
        ctx.font = "11px system-ui, sans-serif";
        if (phase(start) && right - left > 55) {
          ctx.fillText(phase(start), left + 4, area.bottom - 5);
        }
        start = i;
      }
      ctx.restore();
    },
  };

  const options = (chart) => ({
    animation: false, maintainAspectRatio: false, responsive: true,
    interaction: { mode: "index", intersect: false },
    plugins: {
      legend: { display: false },
      tooltip: {
        filter: (item) => item.parsed.y !== null,
        callbacks: {
          title: (items) => items.length
            ? `feed ${items[0].label}: ${verdictOf(items[0].label)}` : "",
          label: (item) => item.dataset.label + " " +
            item.parsed.y.toFixed(chart.decimals),
        },
      },
    },
    scales: {
      x: { title: { display: true, text: "feed", color: colour("soft") },
           ticks: { color: colour("soft"), maxRotation: 0 },
           grid: { display: false } },
      y: { ticks: { color: colour("soft") }, grace: "8%",
           // Distances start at nothing.
           min: chart.lower.some((limit) => limit !== null) ||
             chart.value.some((value) => value < 0) ? undefined : 0,
           grid: { color: colour("rule") } },
    },
  });

  let plots = [];
  const draw = () => {
    for (const plot of plots) plot.destroy();
    plots = data.charts.map((chart, i) => new Chart(
      document.getElementById("chart-" + i), {
        type: "line", plugins: [bands], options: options(chart),
        data: { labels: chart.feed, datasets: datasets(chart) },
      }));
  };
  draw();
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
  addEventListener("beforeprint", draw);
  addEventListener("afterprint", draw);
})();
