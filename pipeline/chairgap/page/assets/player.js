// The path of a ring flip, step by step: the ring with its groups, the form it has, the energy on a curve and
// the place on the map. Nothing moves by itself unless Play is pressed, and never where the system asks for
// less motion; then there are the slider and the buttons.

const SVG = "http://www.w3.org/2000/svg";
const PER_HUNDREDTH = 0.46;
const SCENE_MARGIN = 62;
const DISC = { ring: 10, C: 6.5, H: 4, other: 10 };
const HALF_LETTER = 4.5;
const STEP_MS = 110;
const STOP_MS = 800;
const STANDS = { a: "axial", e: "equatorial", i: "isoclinal" };
const lessMotion = window.matchMedia("(prefers-reduced-motion: reduce)");

let playing = null;

function startFlip(section) {
  const script = section.querySelector("script.flip-details");
  const box = section.querySelector(".flip");
  if (!script || !box) {
    return;
  }
  const { section: html, play } = unpack(script);
  if (!box.firstElementChild) {
    // Made by the same templates as the rest of the page, which escape every text.
    box.innerHTML = html;
  }
  if (play) {
    new Player(box, play);
  }
}

class Player {
  constructor(box, path) {
    this.box = box;
    this.path = path;
    this.frames = addedUp(path.moves, path.symbols.length);
    this.at = 0;
    this.scene = new Scene(this.part("scene"), path, this.frames);
    this.slider = this.part("slider");
    this.name = box.querySelector(".player").getAttribute("aria-label").replace(/^Player of the /, "");
    this.slider.addEventListener("input", () => this.stopAt(Number(this.slider.value)));
    this.part("play").addEventListener("click", () => (playing === this ? this.stop() : this.start()));
    this.part("back").addEventListener("click", () => this.stopAt(this.nextForm(-1)));
    this.part("on").addEventListener("click", () => this.stopAt(this.nextForm(1)));
    lessMotion.addEventListener("change", () => this.heed());
    document.addEventListener("visibilitychange", () => document.hidden && this.stop());
    box.closest("details").addEventListener("toggle", () => this.stop());
    this.heed();
    this.show();
  }

  part(name) {
    return this.box.querySelector(`[data-play="${name}"]`);
  }

  heed() {
    this.stop();
    this.part("play").hidden = lessMotion.matches;
    this.part("note").textContent = lessMotion.matches
      ? "Your system asks for less motion: nothing plays by itself. Move along the path with the slider."
      : "The slider goes step by step with the arrow keys.";
  }

  start() {
    playing?.stop();
    playing = this;
    this.part("play").textContent = "Pause";
    if (this.at === this.frames.length - 1) {
      this.at = 0;
    }
    this.show();
    this.wait();
  }

  wait() {
    this.timer = setTimeout(() => this.step(), this.path.places[this.at] ? STOP_MS : STEP_MS);
  }

  step() {
    this.at += 1;
    this.show();
    if (this.at === this.frames.length - 1) {
      this.stop();
    } else {
      this.wait();
    }
  }

  stop() {
    clearTimeout(this.timer);
    this.part("play").textContent = "Play";
    if (playing === this) {
      playing = null;
    }
  }

  stopAt(at) {
    this.stop();
    this.at = at;
    this.show();
  }

  // The next minimum or saddle that way, else the end of the path.
  nextForm(way) {
    const last = this.frames.length - 1;
    let at = this.at;
    do {
      at = Math.min(Math.max(at + way, 0), last);
    } while (at > 0 && at < last && !this.path.places[at]);
    return at;
  }

  show() {
    const { forms, places, energies, stands, groups, curve, map } = this.path;
    const { at } = this;
    const energy = `${energies[at]} kcal/mol`;
    const form = places[at] ? `${forms[at]}, ${places[at]}` : forms[at];
    this.part("form").textContent = form;
    this.part("energy").textContent = `${energy} above the lowest minimum`;
    this.slider.value = String(at);
    this.slider.setAttribute("aria-valuetext", `${at + 1} of ${this.frames.length}: ${form}, ${energy}`);
    const standing = groups.map((group, number) => `${group.words} on C${group.carbon} ${STANDS[stands[at][number]]}`);
    this.scene.draw(this.frames[at], stands[at]);
    this.scene.svg.setAttribute("aria-label", [`Geometry ${at + 1} of ${this.frames.length} of the ${this.name}: ${form}, ${energy}`, ...standing].join("; "));
    this.part("mark")?.setAttribute("transform", `translate(${curve[at].join(" ")})`);
    this.box.querySelectorAll('[data-play="place"]').forEach((mark, half) => {
      const [side, x, y] = map[at];
      mark.setAttribute("visibility", side === half ? "visible" : "hidden");
      mark.setAttribute("transform", `translate(${x} ${y})`);
    });
  }
}

// Each frame is kept as its difference from the one before.
function addedUp(moves, atoms) {
  const now = new Array(3 * atoms).fill(0);
  return moves.map((move) => {
    move.forEach((value, index) => { now[index] += value; });
    return Array.from({ length: atoms }, (_, atom) => now.slice(3 * atom, 3 * atom + 3));
  });
}

class Scene {
  constructor(place, path, frames) {
    this.path = path;
    this.svg = inSvg("svg", { role: "img" });
    const xs = frames.flat().map(([x]) => x * PER_HUNDREDTH);
    const ys = frames.flat().map(([, y]) => -y * PER_HUNDREDTH);
    const [left, top] = [Math.min(...xs) - SCENE_MARGIN, Math.min(...ys) - SCENE_MARGIN / 2];
    this.width = Math.max(...xs) + SCENE_MARGIN - left;
    this.height = Math.max(...ys) + SCENE_MARGIN / 2 - top;
    this.svg.setAttribute("viewBox", [left, top, this.width, this.height].map(Math.round).join(" "));
    this.svg.setAttribute("width", Math.round(this.width));
    this.svg.setAttribute("height", Math.round(this.height));
    this.bonds = path.bonds.map((bond) => this.bond(bond));
    this.atoms = path.symbols.map((symbol, atom) => this.atom(symbol, atom));
    this.labels = path.groups.map((group) => this.label(group));
    this.svg.append(...this.labels.map(({ text }) => text));
    place.append(this.svg);
    new ResizeObserver(() => this.scale()).observe(this.svg);
  }

  // Letters keep their size where the picture is smaller than it was drawn.
  scale() {
    const smaller = this.svg.clientWidth ? Math.max(1, this.width / this.svg.clientWidth) : 1;
    this.labels.forEach(({ text }) => text.setAttribute("font-size", (14 * smaller).toFixed(1)));
  }

  bond([one, other]) {
    const { ring, groups, symbols } = this.path;
    const inRing = ring.includes(one) && ring.includes(other);
    const group = groups.findIndex(({ carbon, atom }) => [one, other].includes(atom) && [one, other].includes(ring[carbon - 1]));
    const light = symbols[one] === "H" || symbols[other] === "H";
    const line = inSvg("line", { "stroke-width": inRing ? 5 : light ? 1.6 : 3.4, "stroke-linecap": "round" });
    line.classList.add("line-ink");
    return { one, other, group, line };
  }

  atom(symbol, atom) {
    const number = this.path.ring.indexOf(atom) + 1;
    const kind = number ? "ring" : DISC[symbol] ? symbol : "other";
    const disc = inSvg("circle", { r: DISC[kind] });
    disc.classList.add(kind === "other" ? `fill-${this.path.colours[atom]}` : kind === "H" ? "hydrogen" : "fill-ink");
    const parts = [disc];
    if (number || kind === "other") {
      const text = inSvg("text", { "text-anchor": "middle", "font-size": 12.5, dy: 4.6 });
      text.classList.add("words", "fill-paper");
      text.textContent = number || symbol;
      parts.push(text);
    }
    const place = inSvg("g", {});
    place.append(...parts);
    return place;
  }

  // Named beside the atom of the group that lies farthest from the ring.
  label({ carbon, atom }) {
    const text = inSvg("text", { "text-anchor": "middle", "font-size": 14, dy: 5 });
    text.classList.add("words", "fill-ink", "named");
    return { text, tip: this.tip(atom), from: this.path.ring[carbon - 1] };
  }

  tip(first) {
    const { bonds, ring, symbols } = this.path;
    const seen = [first];
    for (const atom of seen) {
      for (const [one, other] of bonds) {
        const next = one === atom ? other : other === atom ? one : -1;
        if (next >= 0 && symbols[next] !== "H" && !ring.includes(next) && !seen.includes(next)) {
          seen.push(next);
        }
      }
    }
    return seen[seen.length - 1];
  }

  draw(frame, stands) {
    const places = frame.map(([x, y, z]) => [x * PER_HUNDREDTH, -y * PER_HUNDREDTH, z]);
    const pieces = this.bonds.map(({ one, other, group, line }) => {
      const [[x1, y1, z1], [x2, y2, z2]] = [places[one], places[other]];
      Object.entries({ x1, y1, x2, y2 }).forEach(([key, value]) => line.setAttribute(key, value.toFixed(1)));
      if (group >= 0) {
        const kind = { a: "axial", e: "equatorial" }[stands[group]] ?? "ink";
        line.setAttribute("class", `line-${kind}`);
        line.setAttribute("stroke-width", kind === "axial" ? 5 : 3.4);
      }
      return [Math.min(z1, z2) - 0.5, line];
    });
    this.atoms.forEach((atom, number) => {
      const [x, y, z] = places[number];
      atom.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      pieces.push([z, atom]);
    });
    // What is nearer is painted over what is behind; names over all.
    pieces.sort(([one], [other]) => one - other);
    this.svg.append(...pieces.map(([, piece]) => piece), ...this.labels.map(({ text }) => text));
    this.labels.forEach(({ text, tip, from }, number) => {
      const [x, y] = places[tip];
      const away = Math.hypot(x - places[from][0], y - places[from][1]) || 1;
      const [across, down] = [(x - places[from][0]) / away, (y - places[from][1]) / away];
      text.textContent = `${this.path.groups[number].words} ${stands[number]}`;
      text.setAttribute("x", (x + (16 + HALF_LETTER * text.textContent.length) * across).toFixed(1));
      text.setAttribute("y", (y + 21 * down).toFixed(1));
    });
  }
}

function inSvg(tag, attributes) {
  const made = document.createElementNS(SVG, tag);
  Object.entries(attributes).forEach(([name, value]) => made.setAttribute(name, value));
  return made;
}
