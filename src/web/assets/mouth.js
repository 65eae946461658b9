// Draws the mouth: places and outlines come from the program, what is charted from the state.
// A finger that cannot hit the tooth at this size first brings its part of the mouth near; then it hits with ease.

import { t } from "./messages.js";

const SVG = "http://www.w3.org/2000/svg";
const RAY_PER_MM = 9;
const RAY_MM_MAX = 11;
// A tooth that lies at least so far from its neighbours, in CSS pixels, is hit by a gloved finger.
const FINGER_PX = 60;
const SITES = ["mesio_buccal", "buccal", "disto_buccal", "mesio_lingual", "lingual", "disto_lingual"];
export const BADGES = { extract: "E", monitor: "M", leave: "L", treat: "T" };

export function el(name, attributes = {}, text) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== undefined) node.textContent = text;
  return node;
}

export class Mouth {
  constructor(svg, onPick) {
    this.svg = svg;
    this.onPick = onPick;
    this.species = null;
    this.near = null; // The part of the mouth that fills the drawing.
    this.onZoom = () => {};
    this.teeth = new Map();
    svg.addEventListener("click", (event) => this.touched(event));
    svg.addEventListener("keydown", (event) => this.key(event));
  }

  build(words, species) {
    this.species = species;
    this.teeth.clear();
    this.svg.replaceChildren();
    this.whole = `0 0 ${words.width} ${words.height}`;
    this.zoom(null);
    this.middle = el("g", { class: "middle", "aria-hidden": "true" });
    this.svg.append(this.middle);
    // Signs lie over all teeth; screen readers hear them with the tooth.
    const over = el("g", { "aria-hidden": "true" });
    for (const shape of words[species].shapes) {
      const group = el("g", { class: "tooth", role: "button", tabindex: "-1", "data-tooth": shape.tooth });
      group.append(el("circle", { class: "halo", cx: shape.x, cy: shape.y, r: Math.max(shape.half_length, shape.half_thickness) + 15 }));
      const frame = el("g", { transform: `translate(${shape.x} ${shape.y}) rotate(${shape.turn_degrees})` });
      for (const path of shape.roots) frame.append(el("path", { class: "root", d: path }));
      const rays = el("g", { class: "rays" });
      frame.append(rays, el("path", { class: "crown", d: shape.crown }));
      const marks = el("g", { class: "marks" });
      const label = el("text", { class: "number", x: shape.label_x, y: shape.label_y }, shape.tooth);
      group.append(frame, label);
      this.svg.append(group);
      over.append(marks);
      this.teeth.set(shape.tooth, { shape, group, rays, marks });
    }
    this.svg.append(over);
  }

  update(words, visit, looking, missing, normal) {
    this.normal = normal;
    const species = visit.patient.species;
    if (species !== this.species) this.build(words, species);
    const lacking = new Set(missing);
    for (const tooth of visit.teeth) {
      const drawn = this.teeth.get(tooth.tooth);
      // Deciduous teeth are drawn where there are any; others are picked by number.
      const isDrawn = tooth.tooth < 500 || tooth.is_charted || tooth.tooth === visit.tooth || tooth.tooth === looking;
      drawn.group.toggleAttribute("hidden", !isDrawn);
      drawn.marks.toggleAttribute("hidden", !isDrawn);
      drawn.group.setAttribute("class", "tooth " + this.looks(tooth, visit, looking, lacking));
      drawn.group.setAttribute("tabindex", tooth.tooth === looking ? "0" : "-1");
      drawn.group.setAttribute("aria-label", this.says(tooth, visit));
      drawn.group.setAttribute("aria-pressed", tooth.tooth === looking ? "true" : "false");
      this.rays(drawn, tooth);
      this.marks(drawn, tooth, visit);
    }
    if (looking === null && visit.teeth.length) {
      this.teeth.get(visit.teeth[0].tooth).group.setAttribute("tabindex", "0");
    }
    this.counts(visit, missing);
  }

  looks(tooth, visit, looking, lacking) {
    const parts = [];
    if (tooth.is_absent) parts.push("absent");
    else if (!tooth.is_charted) parts.push(lacking.has(tooth.tooth) ? "blank" : "blank quiet");
    else if (tooth.unconfirmed_count) parts.push("open");
    else parts.push("sure");
    if (tooth.tooth > 500) parts.push("deciduous");
    if (tooth.tooth === visit.tooth) parts.push("here");
    if (tooth.tooth === looking) parts.push("looking");
    return parts.join(" ");
  }

  says(tooth, visit) {
    const shape = this.teeth.get(tooth.tooth).shape;
    const parts = [`${tooth.tooth}, ${shape.name}`];
    if (tooth.tooth === visit.tooth) parts.push(t("at-hand"));
    if (!tooth.is_absent && !tooth.is_charted) parts.push(t("nothing-charted"));
    for (const value of tooth.values) parts.push(value.words);
    if (tooth.decision) parts.push(t("decision-is", { words: tooth.decision.words }));
    const doubtful = tooth.values.filter((value) => value.is_doubtful).length;
    if (doubtful) parts.push(t("count-doubtful", { count: doubtful }));
    if (tooth.unconfirmed_count) parts.push(t("count-not-confirmed", { count: tooth.unconfirmed_count }));
    return parts.join(", ");
  }

  rays({ shape, rays }, tooth) {
    rays.replaceChildren();
    for (const value of tooth.values) {
      if (value.kind !== "depth") continue;
      const at = SITES.indexOf(value.site);
      // Front to back along the row; the cheek side points outwards.
      const x = ((at % 3) - 1) * shape.half_length * 0.62 * shape.back;
      const out = at < 3 ? -1 : 1;
      const from = out * shape.half_thickness;
      const to = from + out * Math.min(value.value.mm, RAY_MM_MAX) * RAY_PER_MM;
      const deep = value.value.mm > this.normal ? "deep" : "";
      rays.append(el("line", { class: "ray " + deep, x1: x, x2: x, y1: from, y2: to }));
    }
  }

  marks({ shape, marks }, tooth, visit) {
    marks.replaceChildren();
    const turn = (shape.turn_degrees * Math.PI) / 180;
    const at = (x, y) => [
      shape.x + x * Math.cos(turn) - y * Math.sin(turn),
      shape.y + x * Math.sin(turn) + y * Math.cos(turn),
    ];
    const [cx, cy] = at(0, 0);
    if (tooth.is_absent) {
      const r = Math.min(shape.half_length, shape.half_thickness) * 0.9;
      marks.append(el("path", { class: "cross", d: `M${cx - r} ${cy - r}L${cx + r} ${cy + r}M${cx + r} ${cy - r}L${cx - r} ${cy + r}` }));
    } else if (tooth.is_charted) {
      const sign = tooth.values.some((value) => value.is_doubtful) ? "≈" : tooth.unconfirmed_count ? "?" : "✓";
      marks.append(el("text", { class: "sign", x: cx, y: cy }, sign));
    }
    if (tooth.decision) {
      const [x, y] = at(0, shape.half_thickness + 62);
      const badge = el("g", { class: "badge " + tooth.decision.key, transform: `translate(${x} ${y})` });
      const outline = {
        extract: "M-24 -24H24V24H-24Z",
        monitor: "M0 -26A26 26 0 1 1 0 26A26 26 0 1 1 0 -26Z",
        treat: "M0 -33L33 0L0 33L-33 0Z",
        leave: "M-30 24L0 -32L30 24Z",
      }[tooth.decision.key];
      badge.append(el("path", { d: outline }));
      badge.append(el("text", { y: tooth.decision.key === "leave" ? 8 : 0 }, BADGES[tooth.decision.key]));
      marks.append(badge);
    }
    if (tooth.tooth === visit.tooth) {
      const [x, y] = at(0, shape.half_thickness + 52);
      if (!tooth.decision) {
        marks.append(el("path", {
          class: "arrow", d: "M0 -24L20 16H-20Z",
          transform: `translate(${x} ${y}) rotate(${shape.turn_degrees})`,
        }));
      }
    }
  }

  counts(visit, missing) {
    this.middle.replaceChildren();
    const lines = visit.is_open
      ? [[missing.length, "teeth-not-charted"], [visit.unconfirmed_count, "to-confirm"]]
      : [[visit.value_count, "entries"], [visit.unconfirmed_count, "not-confirmed-count"]];
    lines.forEach(([count, key], at) => {
      const words = t(key, { count });
      const y = 520 + at * 270;
      this.middle.append(el("text", { class: count ? "count" : "count done", x: 500, y }, count ? count : "✓"));
      this.middle.append(el("text", { class: "count-words", x: 500, y: y + 105 }, words));
    });
  }

  nearest(x, y) {
    let best = null;
    for (const { shape, group } of this.teeth.values()) {
      if (group.hasAttribute("hidden")) continue;
      const away = Math.min(
        Math.hypot(shape.x - x, shape.y - y),
        Math.hypot(shape.label_x - x, shape.label_y - y),
      );
      if (!best || away < best.away) best = { away, tooth: shape.tooth };
    }
    return best && best.away < 130 ? best.tooth : null;
  }

  /// The part of the mouth of a tooth: the front teeth or the cheek teeth of a quadrant.
  part(tooth) {
    const quadrant = ((Math.floor(tooth / 100) - 1) % 4) + 1;
    return `${quadrant}${tooth % 100 <= 4 ? "front" : "cheek"}`;
  }

  inPart(part) {
    return [...this.teeth.values()].filter(({ shape, group }) => !group.hasAttribute("hidden") && this.part(shape.tooth) === part);
  }

  /// Brings the part of the mouth around a tooth near enough for a finger, or with nothing shows all of it.
  zoom(tooth) {
    this.near = tooth === null ? null : this.part(tooth);
    if (!this.whole) return; // Not drawn yet.
    let box = this.whole;
    if (tooth !== null) {
      const shapes = this.inPart(this.near).map(({ shape }) => shape);
      const reach = shapes.flatMap((shape) => {
        const r = Math.max(shape.half_length, shape.half_thickness) + 30;
        return [[shape.x - r, shape.y - r], [shape.x + r, shape.y + r], [shape.label_x - 42, shape.label_y - 30], [shape.label_x + 42, shape.label_y + 30]];
      });
      const [xs, ys] = [reach.map(([x]) => x), reach.map(([, y]) => y)];
      const [left, top, right, bottom] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
      // As much of the part as fits at a size that a finger hits; the touched tooth is always in it.
      const { width, height } = this.svg.getBoundingClientRect();
      const scale = Math.max(Math.min(width / (right - left), height / (bottom - top)), (FINGER_PX * 1.1) / this.least(this.near));
      const { x, y } = this.teeth.get(tooth).shape;
      const from = (at, low, high, size) => (size >= high - low ? (low + high - size) / 2 : Math.min(Math.max(at - size / 2, low), high - size));
      const [w, h] = [width / scale, height / scale];
      box = `${from(x, left, right, w)} ${from(y, top, bottom, h)} ${w} ${h}`;
    }
    this.svg.setAttribute("viewBox", box);
    this.svg.classList.toggle("near", tooth !== null);
    this.onZoom(this.near);
  }

  /// The least way between two teeth of a part, in the drawing's own units.
  least(part) {
    const shapes = this.inPart(part).map(({ shape }) => shape);
    let least = Infinity;
    for (const one of shapes) for (const other of shapes) {
      if (one !== other) least = Math.min(least, Math.hypot(one.x - other.x, one.y - other.y));
    }
    return least;
  }

  /// Pixels between the nearest two teeth of a part at the size now shown.
  pitch(part) {
    return this.least(part) * (this.svg.getScreenCTM()?.a ?? 0);
  }

  touched(event) {
    const into = this.svg.getScreenCTM();
    if (!into) return;
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(into.inverse());
    const tooth = this.nearest(point.x, point.y);
    if (!tooth) return this.near ? this.zoom(null) : undefined;
    const part = this.part(tooth);
    const isFinger = event.pointerType === "touch" || event.pointerType === "pen";
    if (isFinger && this.near !== part && this.pitch(part) < FINGER_PX) return this.zoom(tooth);
    this.zoom(null);
    this.onPick(tooth);
  }

  key(event) {
    const group = event.target.closest("[data-tooth]");
    if (!group) return;
    const tooth = Number(group.dataset.tooth);
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.onPick(tooth);
      return;
    }
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    event.stopPropagation();
    const to = this.beside(tooth, step);
    if (to) {
      this.onPick(to);
      this.teeth.get(to).group.focus();
    }
  }

  // Along the upper row from the animal's right to its left, then back along the lower row.
  path() {
    const of = (quadrant) => [...this.teeth.values()]
      .filter(({ shape, group }) => Math.floor(shape.tooth / 100) === quadrant && !group.hasAttribute("hidden"))
      .map(({ shape }) => shape.tooth);
    return [1, 2, 3, 4].flatMap((q) => [
      ...(q % 2 ? of(q).reverse() : of(q)),
    ]).concat([5, 6, 7, 8].flatMap((q) => (q % 2 ? of(q).reverse() : of(q))));
  }

  beside(tooth, step) {
    const path = this.path();
    const at = path.indexOf(tooth);
    return at < 0 ? path[0] : path[(at + step + path.length) % path.length];
  }

  name(tooth) {
    return this.teeth.get(tooth)?.shape.name ?? "";
  }

  upper(tooth) {
    return this.teeth.get(tooth)?.shape.is_upper ?? true;
  }
}
