// One slider for the page: G(B) - G(A), K and populations are recomputed from the numbers in the page, for
// rows and for open sections. Verdicts stay those of the study's temperature.

let temperatureK = constants.temperature_k;
let moves = 0;
const AT_ONCE = 8;
const RAISED = { "-": "⁻", 0: "⁰", 1: "¹", 2: "²", 3: "³", 4: "⁴", 5: "⁵", 6: "⁶", 7: "⁷", 8: "⁸", 9: "⁹" };

function startSlider() {
  const slider = document.getElementById("temperature");
  if (!slider) {
    return;
  }
  const number = document.getElementById("temperature-number");
  slider.addEventListener("input", () => moveTo(Number(slider.value)));
  slider.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key];
    if (step) {
      event.preventDefault();
      moveTo(temperatureK + step);
    }
  });
  number.addEventListener("change", () => moveTo(number.valueAsNumber));
  document.getElementById("temperature-reset").addEventListener("click", () => moveTo(constants.temperature_k));
  moveTo(constants.temperature_k);
}

function moveTo(requestedK) {
  const requested = Number.isFinite(requestedK) ? requestedK : temperatureK;
  temperatureK = Math.min(Math.max(requested, constants.lowest_k), constants.highest_k);
  const slider = document.getElementById("temperature");
  slider.value = String(temperatureK);
  slider.setAttribute("aria-valuetext", `${fixed(temperatureK, 2)} kelvin`);
  document.getElementById("temperature-number").value = fixed(temperatureK, 2);
  document.getElementById("temperature-celsius").textContent = `(${fixed(temperatureK - 273.15, 1)} °C)`;
  document.getElementById("table").classList.toggle("moved", temperatureK !== constants.temperature_k);
  refreshAll();
}

// Many molecules take a moment: they are done a few at a time, and a later move ends an earlier one.
async function refreshAll() {
  moves += 1;
  const move = moves;
  for (const [at, section] of sections().entries()) {
    if (at % AT_ONCE === AT_ONCE - 1) {
      await new Promise((resolve) => { setTimeout(resolve); });
    }
    if (move !== moves) {
      return;
    }
    refresh(section);
  }
}

function refresh(section) {
  show(section, atTemperature(numbersOf(section).conformers, temperatureK));
}

function show(section, found) {
  const row = document.querySelector(`#table a[href="#${section.id}"]`)?.closest("tr");
  for (const place of [...(row?.querySelectorAll("[data-live]") ?? []), ...section.querySelectorAll("[data-live]")]) {
    const kind = place.dataset.live;
    if (kind === "temperature") {
      place.textContent = `${fixed(temperatureK, 2)} K (${fixed(temperatureK - 273.15, 1)} °C)`;
      continue;
    }
    const value = found?.[kind] ?? null;
    place.dataset.key = value === null ? "" : String(value);
    place.textContent = inWords(kind, value);
  }
  const bar = section.querySelector(".bar");
  if (bar && found) {
    for (const [name, share, room] of [["a", found.share_a, 0.04], ["b", found.share_b, 0.04], ["other", found.share_other, 0.2]]) {
      const part = bar.querySelector(`.${name}`);
      part.style.width = `${100 * share}%`;
      part.firstElementChild.hidden = share < room;
    }
    bar.setAttribute("aria-label", `Populations at ${fixed(temperatureK, 2)} K: chair A ${inWords("share_a", found.share_a)} %, ` +
      `chair B ${inWords("share_b", found.share_b)} %, non-chair ${inWords("share_other", found.share_other)} %`);
  }
}

function inWords(kind, value) {
  if (value === null) {
    return kind === "constant" ? "not defined" : "none";
  }
  if (kind === "gibbs") {
    return signed(value);
  }
  return kind === "constant" ? significant(value) : fixed(100 * value, 1);
}

// The number forms of the report (chairgap/report/words.py), in type (chairgap/text.py).
function fixed(value, decimals) {
  const text = value.toFixed(decimals);
  return (Number(text) === 0 ? text.replace("-", "") : text).replace("-", "−");
}

function signed(value) {
  const text = fixed(value, 2);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

// Three significant digits, as Python's format .3g.
function significant(value) {
  const [digits, power] = value.toExponential(2).split("e");
  if (Number(power) >= -4 && Number(power) < 3) {
    return String(Number(value.toPrecision(3)));
  }
  const raised = String(Number(power)).replace(/./g, (sign) => RAISED[sign]);
  return `${Number(digits)} × 10${raised}`;
}
