// Boxes that scroll sideways say so, and only they are stops of the tab key.

const boxes = new ResizeObserver((entries) => entries.forEach(({ target }) => sayWhetherItScrolls(target.closest(".scroll"))));

function watchScrolling(place) {
  for (const box of place.querySelectorAll(".scroll")) {
    boxes.observe(box);
    boxes.observe(box.firstElementChild);
  }
}

function sayWhetherItScrolls(box) {
  const scrolls = box.scrollWidth > box.clientWidth + 1;
  if (scrolls === box.classList.contains("scrolls")) {
    return;
  }
  box.classList.toggle("scrolls", scrolls);
  if (scrolls) {
    box.tabIndex = 0;
    const cue = document.createElement("p");
    cue.className = "cue";
    cue.textContent = "↔ More columns: scroll sideways";
    box.before(cue);
  } else {
    box.removeAttribute("tabindex");
    box.previousElementSibling.remove();
  }
}
