// The table of verdicts: sorted by its heads, filtered by verdict and name.

function startTable() {
  const table = document.getElementById("table");
  if (!table) {
    return;
  }
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => sortBy(table, heads, column));
  });
  const filter = document.getElementById("filter");
  filter.addEventListener("input", () => showRows(table));
  filter.addEventListener("submit", (event) => event.preventDefault());
  showRows(table);
}

function sortBy(table, heads, column) {
  const head = heads[column];
  const descending = head.getAttribute("aria-sort") === "ascending";
  heads.forEach((other) => other.removeAttribute("aria-sort"));
  head.setAttribute("aria-sort", descending ? "descending" : "ascending");
  const key = head.dataset.kind === "number" ? numberIn : textIn;
  const rows = [...table.tBodies[0].rows].map((row) => [key(row.cells[column]), row]);
  rows.sort(([one], [other]) => compared(one, other, descending));
  table.tBodies[0].append(...rows.map(([, row]) => row));
}

const textIn = (cell) => cell.textContent.trim();
const numberIn = (cell) => (cell.dataset.key === "" ? null : Number(cell.dataset.key));

// What is not there stands last, up or down.
function compared(one, other, descending) {
  if (one === null || other === null) {
    return (one === null) - (other === null);
  }
  const order = typeof one === "number" ? one - other : one.localeCompare(other, "en", { numeric: true });
  return descending ? -order : order;
}

function showRows(table) {
  const only = document.getElementById("only-disagreements");
  const choice = document.getElementById("verdict-choice");
  const text = document.getElementById("name-search").value.trim().toLocaleLowerCase();
  const rows = [...table.tBodies[0].rows];
  for (const row of rows) {
    row.hidden = Boolean(
      (only?.checked && !("disagrees" in row.dataset)) ||
      (choice?.value && row.dataset.verdict !== choice.value) ||
      !textIn(row.cells[0]).toLocaleLowerCase().includes(text),
    );
  }
  const shown = rows.filter((row) => !row.hidden).length;
  document.getElementById("shown").textContent = `${shown} of ${rows.length} molecules shown`;
}
