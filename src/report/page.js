// SPDX-License-Identifier: MIT
// Sorting of the table of feeds. The page is whole without it.
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
