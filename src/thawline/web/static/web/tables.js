// A table wider than a phone becomes a list: each cell says in words which column it is of.

/** Fit the tables now, when the page turns, and whenever the live part was exchanged. */
export function fitTables() {
  fitAll();
  addEventListener("resize", fitAll);
  document.addEventListener("toggle", fitAll, true);
  new MutationObserver(fitAll).observe(document.body, { childList: true, subtree: true });
}

function fitAll() {
  for (const table of document.querySelectorAll("main table")) fit(table);
}

function fit(table) {
  table.classList.remove("stacked");
  const room = table.closest(".panel")?.clientWidth ?? innerWidth;
  const edge = table.closest(".panel")?.getBoundingClientRect().left ?? 0;
  const right = table.getBoundingClientRect().left - edge + table.scrollWidth;
  if (right <= room) return;
  label(table);
  table.classList.add("stacked");
}

function label(table) {
  const heads = [...(table.tHead?.rows[0]?.cells ?? [])].map((each) => each.textContent.trim());
  for (const body of table.tBodies) {
    for (const row of body.rows) {
      if (row.cells.length !== heads.length) continue; // a sentence over the whole width
      [...row.cells].forEach((cell, column) => (cell.dataset.column = heads[column]));
    }
  }
}
