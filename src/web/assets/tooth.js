// The tooth shown large: six readings as bars from the gum line, findings, decision. Every value can be touched.

import { el } from "./mouth.js";

const CHEEK = ["mesio_buccal", "buccal", "disto_buccal"];
const TONGUE = ["mesio_lingual", "lingual", "disto_lingual"];
const NAMES = ["front", "middle", "back"];
const SCALE_MM = 12;

export function html(name, attributes = {}, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key === "on") node.addEventListener("click", value);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

export const tongueWord = (upper) => (upper ? "palatal" : "lingual");

/// Is it certain? A sign and words, never colour alone.
export function standing(value) {
  if (value.is_confirmed) return { key: "sure", sign: "✓", words: "confirmed" };
  if (value.is_doubtful) {
    return { key: "doubt", sign: "≈", words: `doubtful, ${Math.round(value.confidence * 100)} % sure, not confirmed` };
  }
  return { key: "open", sign: "?", words: "not confirmed" };
}

/// Only heard by screen readers; and only seen by eyes.
export const say = (words) => html("span", { class: "say" }, words);
export const sign = (text) => html("i", { "aria-hidden": "true" }, text);

const find = (tooth, kind, site) => tooth.values.find((value) => value.kind === kind && value.site === site);

export function sites(tooth, before, upper, normal, onSite) {
  const group = (title, names) => html("div", { class: "side", role: "group", "aria-label": title },
    html("p", { class: "side-title" }, title),
    html("div", { class: "cells" }, ...names.map((site, at) => cell(tooth, before, site, `${title} ${NAMES[at]}`, NAMES[at], normal, onSite))));
  return [group("cheek side", CHEEK), group(upper ? "palate side" : "tongue side", TONGUE)];
}

function cell(tooth, before, site, title, short, normal, onSite) {
  const depth = find(tooth, "depth", site);
  const was = before ? find(before, "depth", site) : null;
  const recession = find(tooth, "recession", site)?.value.mm ?? 0;
  const enlargement = find(tooth, "enlargement", site)?.value.mm ?? 0;
  const bleeds = find(tooth, "bleeding", site);
  const is = depth ? standing(depth) : { key: "none", sign: "", words: "not read" };
  const deep = depth && depth.value.mm > normal;
  const label = [
    title, depth ? `${depth.value.mm} millimetres` : "", is.words, deep ? "deep" : "",
    recession ? `recession ${recession}` : "", enlargement ? `enlargement ${enlargement}` : "",
    bleeds ? "bleeding" : "", was ? `last visit ${was.value.mm}` : "", "touch to change",
  ].filter(Boolean).join(", ");
  return html("button", { class: `cell ${is.key} ${deep ? "deep" : ""}`, "data-key": "site-" + site, on: () => onSite(site, title) },
    say(label), gauge(depth?.value.mm, recession, enlargement, normal),
    html("span", { class: "reading", "aria-hidden": "true" },
      html("b", {}, depth ? String(depth.value.mm) : "–"),
      html("i", {}, is.sign)),
    html("span", { class: "under", "aria-hidden": "true" },
      [was ? `was ${was.value.mm}` : short, recession ? `gum −${recession}` : "", enlargement ? `gum +${enlargement}` : "", bleeds ? "● blood" : ""].filter(Boolean).join(" ")));
}

// The contour: neck of the tooth as a fixed line, the gum above or below it, the pocket hanging from the gum.
function gauge(mm, recession, enlargement, normal) {
  const svg = el("svg", { viewBox: "0 0 44 100", preserveAspectRatio: "none", class: "gauge", "aria-hidden": "true" });
  const y = (value) => 14 + value * (84 / SCALE_MM);
  svg.append(el("path", { class: "wall", d: "M0 0C0 12 6 12 6 20V100H34V20C34 12 40 12 40 0Z" }));
  svg.append(el("line", { class: "neck", x1: 0, x2: 40, y1: y(0), y2: y(0) }));
  for (let tick = 3; tick <= SCALE_MM; tick += 3) {
    svg.append(el("line", { class: "tick", x1: 37, x2: 44, y1: y(tick), y2: y(tick) }));
  }
  if (mm !== undefined) {
    const gum = recession - enlargement;
    svg.append(el("rect", { class: mm > normal ? "pocket deep" : "pocket", x: 11, width: 18, y: y(gum), height: Math.max(y(gum + mm) - y(gum), 2) }));
    svg.append(el("line", { class: "gum", x1: 2, x2: 38, y1: y(gum), y2: y(gum) }));
  }
  return svg;
}

const rank = (value) => ["doubt", "open", "sure"].indexOf(standing(value).key);

export function chips(tooth, notes, onValue, onSingle, onDecision, onAdd) {
  const single = (look, mark, given, words) => html("button", { class: `chip ${look}`, "data-key": `value-${given.entry}`, on: () => onSingle(given, words) },
    sign(`${mark} ${given.is_confirmed ? "✓" : "?"}`), words, say(`, ${given.is_confirmed ? "" : "not "}confirmed, touch to withdraw`));
  const list = tooth.values
    .filter((value) => value.kind !== "depth")
    // What belongs to a site stands in its cell.
    .filter((value) => !value.site)
    // What wants a look first.
    .sort((a, b) => rank(a) - rank(b))
    .map((value) => {
      const is = standing(value);
      const words = value.kind === "absent" ? "missing" : value.words;
      return html("button", { class: `chip ${is.key}`, "data-key": `value-${value.entry}`, on: () => onValue(value) },
        sign(is.sign), words, say(`, ${is.words}, touch to change`));
    });
  for (const note of notes) {
    list.push(single("note", "✎", note, note.text));
  }
  for (const done of tooth.done) list.push(single("done", "◆", done, done.words));
  const decided = tooth.decision;
  const decision = html("button", { class: `chip decide ${decided ? decided.key : ""}`, "data-key": "decide", on: onDecision },
    sign(decided ? (decided.is_confirmed ? "✓" : "?") : "…"),
    decided ? decided.words + (decided.reason ? `, ${decided.reason}` : "") : "Decide",
    decided ? say(decided.is_confirmed ? ", confirmed" : ", not confirmed") : null);
  const add = html("button", { class: "chip add", "data-key": "add", on: onAdd }, sign("+"), "Finding");
  return [decision, add, ...list];
}
