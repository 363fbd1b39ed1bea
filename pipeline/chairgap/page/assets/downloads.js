// Files made from what the page holds.

function startDownloads() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-save]");
    if (!button) {
      return;
    }
    const section = button.closest("section.molecule");
    switch (button.dataset.save) {
      case "gaps":
        return save("gaps.csv", "text/csv", gapsText());
      case "ledger":
        return save(`${fileName(section)}-ledger.csv`, "text/csv", detailsOf(section).ledger);
      case "structures":
        return save(`${fileName(section)}.sdf`, "text/plain", detailsOf(section).structures);
      default: {
        const figure = button.closest("figure");
        const name = section ? `${fileName(section)}-${figure.dataset.file}` : figure.dataset.file;
        return save(`${name}.svg`, "image/svg+xml", drawingText(figure.querySelector("svg")));
      }
    }
  });
}

function gapsText() {
  const { head, rest } = unpack(document.getElementById("gaps"));
  const rows = sections().map((section) => numbersOf(section).gaps);
  return head + rows.join("") + rest;
}

// A drawing as a file of its own: on paper, every colour and the font as attributes, since programs other than
// browsers know no custom properties (chairgap/drawings/picture.py, alone).
function drawingText(svg) {
  const sheet = document.getElementById("picture-style").textContent;
  const colours = Object.fromEntries([...sheet.matchAll(/var\(--([a-z]+),(#[0-9a-f]+)\)/g)].map(([, name, colour]) => [name, colour]));
  const copy = svg.cloneNode(true);
  const paper = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  for (const [name, value] of [["class", "fill-paper"], ["width", "100%"], ["height", "100%"]]) {
    paper.setAttribute(name, value);
  }
  copy.prepend(paper);
  copy.setAttribute("font-family", sheet.match(/font-family:([^}]*)/)[1]);
  for (const element of copy.querySelectorAll("[class]")) {
    for (const word of element.classList) {
      const [kind, name] = word.split("-");
      if (kind === "line" || kind === "fill") {
        const painted = kind === "line" ? "stroke" : "fill";
        element.setAttribute(painted, colours[name]);
        element.setAttribute(painted === "stroke" ? "fill" : "stroke", "none");
      }
    }
  }
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}\n`;
}

function fileName(section) {
  const name = section.querySelector("h2").textContent.replace(/^\d+\.\s*/, "");
  const plain = name.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "");
  return `${section.dataset.number}-${plain || "molecule"}`.slice(0, 80);
}

function save(name, type, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
