// The table of verdicts: sorted by its heads, filtered by verdict and name.

function startTable() {
  const table = document.getElementById("table");
  if (!table) {
    return;
  }
  const heads = [...table.tHead.rows[0].cells];
  const choice = document.getElementById("sort");
  choice.append(new Option("study order", ""));
  heads.forEach((head, column) => {
    choice.append(new Option(head.textContent, column));
    const button = document.createElement("button");
    button.type = "button";
    // Paper shows these words: browsers do not repeat heads that hold buttons.
    head.dataset.words = head.textContent;
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => sortBy(table, heads, column));
  });
  const asGiven = [...table.tBodies[0].rows];
  choice.addEventListener("change", () => {
    heads.forEach((head) => head.removeAttribute("aria-sort"));
    return choice.value ? sortBy(table, heads, Number(choice.value)) : table.tBodies[0].append(...asGiven);
  });
  const filter = document.getElementById("filter");
  filter.addEventListener("input", () => showRows(table));
  filter.addEventListener("submit", (event) => event.preventDefault());
  const verdicts = [...filter.querySelectorAll("[data-verdict]")];
  for (const button of verdicts) {
    button.addEventListener("click", () => {
      verdicts.forEach((one) => one.setAttribute("aria-pressed", String(one === button)));
      showRows(table);
    });
  }
  const more = document.getElementById("more-columns");
  more.addEventListener("click", () => more.setAttribute("aria-pressed", String(table.classList.toggle("all"))));
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

function numberIn(cell) {
  const number = parseFloat(cell.dataset.key ?? textIn(cell));
  return Number.isNaN(number) ? null : number;
}

// What is not there stands last, up or down.
function compared(one, other, descending) {
  if (one === null || other === null) {
    return (one === null) - (other === null);
  }
  const order = typeof one === "number" ? one - other : one.localeCompare(other, "en", { numeric: true });
  return descending ? -order : order;
}

function showRows(table) {
  const pressed = document.querySelector("#filter [data-verdict][aria-pressed=true]");
  const verdict = pressed?.dataset.verdict ?? "";
  const search = document.getElementById("name-search").value.trim();
  const text = search.toLocaleLowerCase();
  const rows = [...table.tBodies[0].rows];
  for (const row of rows) {
    const named = textIn(row.cells[0]).toLocaleLowerCase().includes(text);
    row.hidden = !named || Boolean(verdict && row.dataset.verdict !== verdict);
  }
  const shown = rows.filter((row) => !row.hidden).length;
  const asked = [...(verdict ? [`“${pressed.textContent}”`] : []), ...(search ? [`“${search}” in the name`] : [])];
  document.getElementById("shown").textContent = !asked.length
    ? ""
    : shown ? `${shown} of ${rows.length} molecules shown` : `No molecule has ${asked.join(" and ")}. Empty the search, or press All.`;
}
