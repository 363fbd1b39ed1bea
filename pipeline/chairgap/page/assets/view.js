// The shape of a conformer: its still picture, and a view that can be turned, made only when it is asked for.
// Browsers hold few WebGL contexts, so there is one view at a time; where there is none, the still stays.

let view = null;

const SYMBOL_RADIUS = { H: 0.17, C: 0.25 };
const OTHER_RADIUS = 0.3;
const RADII = { ring: 0.13, axial: 0.11, plain: 0.06 };
const MOST_LETTERS = 12;
const LETTERS = { axial: "a", equatorial: "e" };
const FIRST_TURNS = [-0.35, 0.35, -0.2, 0.2, -0.5, 0.5];
const MARGIN = 0.9;
const TURN = Math.PI / 18;

function startShape(section) {
  const box = section.querySelector(".shape");
  if (!box) {
    return;
  }
  const part = (name) => box.querySelector(`[data-shape="${name}"]`);
  part("choice").addEventListener("change", () => (view?.box === box ? turn(section, box) : showStill(box)));
  part("turn").addEventListener("click", () => turn(section, box));
  part("larger").addEventListener("click", () => view?.resize(0.8));
  part("smaller").addEventListener("click", () => view?.resize(1.25));
  part("close").addEventListener("click", () => {
    closeView();
    part("turn").focus();
  });
  showStill(box);
}

function chosenIn(box) {
  return Number(box.querySelector('[data-shape="choice"]').value);
}

function showStill(box) {
  const number = chosenIn(box);
  let found = false;
  for (const still of box.querySelectorAll(".still")) {
    still.hidden = Number(still.dataset.conformer) !== number;
    found ||= !still.hidden;
  }
  write(box, found ? "" : `Conformer ${number} has no still picture here; it can be turned in 3D.`);
}

function write(box, words) {
  box.querySelector('[data-shape="note"]').textContent = words;
}

function turn(section, box) {
  const { shape } = detailsOf(section);
  closeView();
  showStill(box);
  const conformer = shape.conformers.find((one) => one.number === chosenIn(box));
  if (!canDraw()) {
    write(box, "This browser draws nothing in 3D (no WebGL); the still picture stays.");
    return;
  }
  box.querySelectorAll(".still").forEach((still) => { still.hidden = true; });
  view = new View(box, shape, conformer);
  write(box, "Drag, or press the arrow keys, to turn; + and - for size; Home for the first view. The ring has the thickest " +
    "bonds and the numbers of its carbons; bonds to axial groups are thicker than to equatorial ones, and the letters a and e name them.");
}

function closeView() {
  if (view) {
    const { box } = view;
    view.close();
    view = null;
    showStill(box);
  }
}

function paintView() {
  view?.build();
}

// Asked before anything is drawn, so that a browser without WebGL reports no error.
function canDraw() {
  const context = document.createElement("canvas").getContext("webgl2");
  context?.getExtension("WEBGL_lose_context")?.loseContext();
  return context !== null;
}

class View {
  constructor(box, shape, conformer) {
    this.box = box;
    this.shape = shape;
    this.conformer = conformer;
    this.stage = box.querySelector('[data-shape="stage"]');
    this.controls(true);
    this.renderer = new Three.WebGLRenderer({ antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.camera = new Three.PerspectiveCamera(30, 1, 0.1, 200);
    this.points = centred(conformer.positions, shape.ring);
    this.stage.append(this.renderer.domElement);
    this.start();
    this.build();
    this.listen();
  }

  controls(open) {
    this.stage.hidden = !open;
    for (const name of ["close", "larger", "smaller"]) {
      this.box.querySelector(`[data-shape="${name}"]`).hidden = !open;
    }
    this.box.querySelector('[data-shape="turn"]').hidden = open;
    if (open) {
      const about = `3D view of conformer ${this.conformer.number}, ${this.conformer.words}`;
      this.stage.tabIndex = 0;
      this.stage.setAttribute("role", "application");
      this.stage.setAttribute("aria-label", `${about}. Arrow keys turn it, plus and minus change its size, Home brings back the first view.`);
      requestAnimationFrame(() => this.stage.focus({ preventScroll: true }));
    }
  }

  // The ring lies flat, its upper side up, and is looked at from the side and a little from above.
  start() {
    const ring = this.shape.ring.map((atom) => this.points[atom]);
    const up = new Three.Vector3();
    ring.forEach((point, at) => up.sub(new Three.Vector3().crossVectors(point, ring[(at + 1) % ring.length])));
    up.normalize();
    const across = ring[0].clone().sub(ring[3]);
    across.addScaledVector(up, -across.dot(up)).normalize();
    const flat = new Three.Quaternion().setFromUnitVectors(up, new Three.Vector3(0, 1, 0));
    across.applyQuaternion(flat);
    const level = new Three.Quaternion().setFromUnitVectors(across, new Three.Vector3(1, 0, 0));
    const side = level.multiply(flat);
    this.zoom = 1;
    this.distance = undefined;
    const views = FIRST_TURNS.map((around) => {
      this.turned = side.clone();
      this.turnBy(around, 0.3);
      return [this.apart(), this.turned];
    });
    [, this.turned] = views.reduce((best, one) => (one[0] > best[0] ? one : best));
  }

  // How far the nearest two ring carbons are from each other in the picture.
  apart() {
    const ring = this.shape.ring.map((atom) => this.points[atom].clone().applyQuaternion(this.turned));
    return Math.min(...ring.flatMap((one, at) => ring.slice(at + 1).map((other) => Math.hypot(one.x - other.x, one.y - other.y))));
  }

  turnBy(aroundUpright, aroundAcross) {
    const upright = new Three.Quaternion().setFromAxisAngle(new Three.Vector3(0, 1, 0), aroundUpright);
    const across = new Three.Quaternion().setFromAxisAngle(new Three.Vector3(1, 0, 0), aroundAcross);
    this.turned.premultiply(upright).premultiply(across);
  }

  build() {
    const colours = coloursOfPage();
    this.stage.querySelectorAll(".label").forEach((label) => label.remove());
    this.scene = new Three.Scene();
    this.scene.add(new Three.AmbientLight(0xffffff, 1.7));
    const light = new Three.DirectionalLight(0xffffff, 1.9);
    light.position.set(3, 5, 8);
    this.scene.add(light);
    this.group = new Three.Group();
    this.scene.add(this.group);
    const ball = new Three.SphereGeometry(1, 24, 16);
    const stick = new Three.CylinderGeometry(1, 1, 1, 16, 1);
    this.points.forEach((point, atom) => this.addAtom(ball, point, atom, colours));
    for (const bond of this.shape.bonds) {
      this.addBond(stick, bond, colours);
    }
    this.labels = this.labelled().map(([place, words, kind]) => this.addLabel(place, words, kind));
    this.draw();
  }

  addAtom(ball, point, atom, colours) {
    const symbol = this.shape.symbols[atom];
    const kind = this.shape.ring.includes(atom) ? "ink" : symbol === "C" ? "quiet" : symbol === "H" ? "rule" : "other";
    const mesh = new Three.Mesh(ball, new Three.MeshLambertMaterial({ color: colours[kind] }));
    mesh.position.copy(point);
    mesh.scale.setScalar(SYMBOL_RADIUS[symbol] ?? OTHER_RADIUS);
    this.group.add(mesh);
  }

  addBond(stick, [one, other], colours) {
    const kind = this.kindOf(one, other);
    const radius = RADII[kind] ?? RADII.plain;
    const colour = { ring: "ink", axial: "axial", equatorial: "equatorial" }[kind] ?? "quiet";
    const along = this.points[other].clone().sub(this.points[one]);
    const mesh = new Three.Mesh(stick, new Three.MeshLambertMaterial({ color: colours[colour] }));
    mesh.position.copy(this.points[one]).addScaledVector(along, 0.5);
    mesh.scale.set(radius, along.length(), radius);
    mesh.quaternion.setFromUnitVectors(new Three.Vector3(0, 1, 0), along.normalize());
    this.group.add(mesh);
  }

  kindOf(one, other) {
    const { ring, ligands } = this.shape;
    if (ring.includes(one) && ring.includes(other)) {
      return "ring";
    }
    const ligand = ligands.find((item) => [one, other].includes(item.atom) && [one, other].includes(ring[item.carbon - 1]));
    return ligand ? this.positionOf(ligand) : "plain";
  }

  positionOf(ligand) {
    return this.conformer.positions_of[`${ligand.carbon} ${ligand.face}`];
  }

  // [place, words, kind]: ring carbons by number, groups with their position, other atoms by symbol.
  labelled() {
    const { ring, ligands, symbols } = this.shape;
    const groups = ligands.filter((ligand) => ligand.group !== "H");
    const taken = new Set(groups.map((ligand) => ligand.atom));
    return [
      ...ring.map((atom, at) => [this.points[atom], String(at + 1), "ring"]),
      ...groups.map((ligand) => [this.beyond(ligand), `${shortened(ligand.group)} ${LETTERS[this.positionOf(ligand)] ?? ""}`, this.positionOf(ligand)]),
      ...symbols.flatMap((symbol, atom) => (symbol === "C" || symbol === "H" || taken.has(atom) ? [] : [[this.points[atom], symbol, "other"]])),
    ];
  }

  // A group is named a little beyond its first atom, so that its ring carbon is not covered.
  beyond(ligand) {
    const from = this.points[this.shape.ring[ligand.carbon - 1]];
    return this.points[ligand.atom].clone().addScaledVector(this.points[ligand.atom].clone().sub(from), 0.25);
  }

  addLabel(at, words, kind) {
    const label = document.createElement("span");
    label.className = `label ${kind}`;
    label.textContent = words;
    label.setAttribute("aria-hidden", "true");
    this.stage.append(label);
    return { at, label };
  }

  draw() {
    const { clientWidth: width, clientHeight: height } = this.stage;
    if (!width || !height) {
      return;
    }
    this.renderer.setSize(width, height, false);
    this.camera.aspect = width / height;
    this.distance ??= this.fitting();
    this.camera.position.set(0, 0, this.distance * this.zoom);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    this.group.quaternion.copy(this.turned);
    this.renderer.render(this.scene, this.camera);
    for (const { at, label } of this.labels) {
      const turned = at.clone().applyQuaternion(this.turned);
      const place = turned.clone().project(this.camera);
      const x = ((place.x + 1) / 2) * width;
      const y = ((1 - place.y) / 2) * height;
      label.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
      label.style.zIndex = String(1000 + Math.round(100 * turned.z));
    }
  }

  // The distance from which every atom, as it is turned now, lies well inside the picture.
  fitting() {
    const upright = Math.tan(((this.camera.fov / 2) * Math.PI) / 180);
    const across = upright * this.camera.aspect;
    const needed = this.points.map((point) => {
      const { x, y, z } = point.clone().applyQuaternion(this.turned);
      return z + Math.max((Math.abs(x) + MARGIN) / across, (Math.abs(y) + MARGIN) / upright);
    });
    return Math.max(...needed);
  }

  listen() {
    this.ended = new AbortController();
    const options = { signal: this.ended.signal };
    const held = new Map();
    this.stage.addEventListener("keydown", (event) => this.pressed(event), options);
    this.stage.addEventListener("pointerdown", (event) => {
      held.set(event.pointerId, event);
      this.stage.setPointerCapture(event.pointerId);
    }, options);
    this.stage.addEventListener("pointermove", (event) => this.dragged(held, event), options);
    for (const end of ["pointerup", "pointercancel"]) {
      this.stage.addEventListener(end, (event) => held.delete(event.pointerId), options);
    }
    this.observer = new ResizeObserver(() => {
      this.distance = undefined;
      this.draw();
    });
    this.observer.observe(this.stage);
  }

  pressed(event) {
    const turns = { ArrowLeft: [-TURN, 0], ArrowRight: [TURN, 0], ArrowUp: [0, -TURN], ArrowDown: [0, TURN] }[event.key];
    if (turns) {
      this.turnBy(...turns);
    } else if (event.key === "+" || event.key === "=") {
      this.resize(0.9);
    } else if (event.key === "-") {
      this.resize(1 / 0.9);
    } else if (event.key === "Home") {
      this.start();
    } else {
      return;
    }
    event.preventDefault();
    this.draw();
  }

  resize(factor) {
    this.zoom = Math.min(Math.max(this.zoom * factor, 0.3), 3);
    this.draw();
  }

  // One pointer turns; two change the size by their distance.
  dragged(held, event) {
    const before = held.get(event.pointerId);
    if (!before) {
      return;
    }
    const other = [...held.values()].find((one) => one.pointerId !== event.pointerId);
    if (other) {
      const apart = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY) || 1;
      this.resize(apart(before) / apart(event));
    } else {
      this.turnBy((event.clientX - before.clientX) * 0.01, (event.clientY - before.clientY) * 0.01);
    }
    held.set(event.pointerId, event);
    this.draw();
  }

  close() {
    this.ended.abort();
    this.observer.disconnect();
    const lost = this.renderer.getContext().getExtension("WEBGL_lose_context");
    this.renderer.dispose();
    lost?.loseContext();
    this.stage.replaceChildren();
    this.controls(false);
  }
}

function centred(positions, ring) {
  const points = positions.map((position) => new Three.Vector3(...position));
  const middle = new Three.Vector3();
  ring.forEach((atom) => middle.addScaledVector(points[atom], 1 / ring.length));
  return points.map((point) => point.sub(middle));
}

function coloursOfPage() {
  const page = getComputedStyle(document.documentElement);
  const names = ["ink", "quiet", "rule", "axial", "equatorial", "other"];
  return Object.fromEntries(names.map((name) => [name, new Three.Color(page.getPropertyValue(`--${name}`).trim())]));
}

function shortened(group) {
  return group.length > MOST_LETTERS ? `${group.slice(0, MOST_LETTERS - 1)}…` : group;
}
