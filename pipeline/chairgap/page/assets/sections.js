// Sections: a packed one is put in when it is opened; each is started once. Printing opens all of them.

let openedToPrint = [];

function startSections() {
  for (const section of sections()) {
    const details = section.querySelector("details");
    details.addEventListener("toggle", () => details.open && fill(section));
    if (details.open) {
      fill(section);
    }
  }
  document.getElementById("open-all")?.addEventListener("click", openAll);
  document.getElementById("close-all")?.addEventListener("click", () => {
    sections().forEach((section) => { section.querySelector("details").open = false; });
  });
  document.getElementById("print")?.addEventListener("click", () => window.print());
  window.addEventListener("beforeprint", () => {
    openedToPrint = sections().filter((section) => !section.querySelector("details").open);
    openAll();
  });
  window.addEventListener("afterprint", () => {
    openedToPrint.forEach((section) => { section.querySelector("details").open = false; });
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#molecule-"], a[href^="#flip-"]');
    if (link) {
      open(link.hash);
    }
  });
  window.addEventListener("hashchange", () => open(location.hash));
  open(location.hash);
}

function open(hash) {
  const place = /^#(molecule|flip)-/.test(hash) && document.getElementById(hash.slice(1));
  const section = place && place.closest("section.molecule");
  if (section) {
    section.querySelector("details").open = true;
    fill(section);
    place.scrollIntoView();
    (place === section ? section.querySelector("summary") : place).focus({ preventScroll: true });
  }
}

function openAll() {
  for (const section of sections()) {
    section.querySelector("details").open = true;
    fill(section);
  }
}

function fill(section) {
  if (section.dataset.filled) {
    return;
  }
  section.dataset.filled = "yes";
  const body = section.querySelector(".body");
  if (!body.firstElementChild) {
    // Made by the same templates as the rest of the page, which escape every text.
    body.innerHTML = detailsOf(section).section;
  }
  startShape(section);
  startFlip(section);
  watchScrolling(body);
  refresh(section);
}
