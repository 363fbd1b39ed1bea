// What happens when the page has been read.

function startColours() {
  const button = document.getElementById("colours");
  const dark = window.matchMedia("(prefers-color-scheme: dark)");
  const isDark = () => (document.documentElement.dataset.colours ?? (dark.matches ? "dark" : "light")) === "dark";
  const shown = () => {
    button.setAttribute("aria-pressed", String(isDark()));
    paintView();
  };
  button.addEventListener("click", () => {
    document.documentElement.dataset.colours = isDark() ? "light" : "dark";
    shown();
  });
  dark.addEventListener("change", shown);
  shown();
}

document.documentElement.classList.remove("no-js");
startColours();
startTable();
watchScrolling(document);
startSlider();
startSections();
startDownloads();
