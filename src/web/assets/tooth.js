// The tooth shown large: six readings as bars from the gum line, findings, decision. Every value can be touched.

import { t } from "./messages.js";
import { el } from "./mouth.js";

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

/// Is it certain? A sign and words, never colour alone.
export function standing(value) {
  if (value.is_confirmed) return { key: "sure", sign: "✓", words: t("confirmed") };
  if (value.is_doubtful) {
    return { key: "doubt", sign: "≈", words: t("doubtful", { percent: Math.round(value.confidence * 100) }) };
  }
  return { key: "open", sign: "?", words: t("not-confirmed") };
}

/// Only heard by screen readers; and only seen by eyes.
export const say = (words) => html("span", { class: "say" }, words);
export const sign = (text) => html("i", { "aria-hidden": "true" }, text);

const find = (tooth, kind, site) => tooth.values.find((value) => value.kind === kind && value.site === site);

/// The six places of a reading, named as the voice says them. `at` is the one that the pad fills next; `pending`
/// holds readings under way.
export function sites({ words, tooth, before, upper, normal, at, pending, onSite }) {
  const group = (places) => {
    const side = upper ? places[0].side_upper : places[0].side_lower;
    return html("div", { class: "side", role: "group", "aria-label": side },
      html("p", { class: "side-title" }, side),
      html("div", { class: "cells" }, ...places.map((place) => cell({ place, tooth, before, upper, normal, at, pending, onSite }))));
  };
  return [group(words.sites.slice(0, 3)), group(words.sites.slice(3))];
}

export const siteWords = (place, upper) => (upper ? place.upper : place.lower);

function cell({ place, tooth, before, upper, normal, at, pending, onSite }) {
  const site = place.key;
  const depth = find(tooth, "depth", site);
  const waits = pending.get(site);
  const mm = waits ?? depth?.value.mm;
  const was = before ? find(before, "depth", site) : null;
  const recession = find(tooth, "recession", site)?.value.mm ?? 0;
  const enlargement = find(tooth, "enlargement", site)?.value.mm ?? 0;
  const bleeds = find(tooth, "bleeding", site);
  const is = waits !== undefined ? { key: "waits", sign: "…", words: t("sending-short") }
    : depth ? standing(depth) : { key: "none", sign: "", words: t("not-read") };
  const deep = mm !== undefined && mm > normal;
  const isAt = at === site;
  const label = [
    siteWords(place, upper), mm !== undefined ? t("mm-words", { mm }) : "", is.words, deep ? t("deep") : "",
    recession ? t("recession-of", { mm: recession }) : "", enlargement ? t("enlargement-of", { mm: enlargement }) : "",
    bleeds ? t("bleeding") : "", was ? t("last-visit-was", { mm: was.value.mm }) : "", isAt ? t("filled-next") : "",
  ].filter(Boolean).join(", ");
  return html("button", {
    class: `cell glove ${is.key} ${deep ? "deep" : ""} ${isAt ? "at" : ""}`, "data-key": "site-" + site, disabled: !onSite,
    "aria-current": isAt ? "step" : null, on: () => onSite?.(site),
  },
    say(label), gauge(mm, recession, enlargement, normal),
    html("span", { class: "reading", "aria-hidden": "true" },
      html("b", {}, mm !== undefined ? String(mm) : "–"),
      html("i", {}, is.sign)),
    html("span", { class: "under", "aria-hidden": "true" },
      [was ? t("was", { mm: was.value.mm }) : place.short, recession ? t("gum", { mm: "−" + recession }) : "",
        enlargement ? t("gum", { mm: "+" + enlargement }) : "", bleeds ? "● " + t("blood") : ""].filter(Boolean).join(" ")));
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

/// Findings, notes, work done and the decision. Without `on` they are only looked at.
export function chips(tooth, notes, on) {
  const chip = (look, key, mark, words, told, touched) => html("button", { class: `chip ${look}`, "data-key": key, disabled: !on, on: touched },
    sign(mark), words, say(`, ${told}${on ? ", " + t("touch-to-change") : ""}`));
  const single = (look, mark, given, words) => chip(look, `value-${given.entry}`, `${mark} ${given.is_confirmed ? "✓" : "?"}`, words,
    given.is_confirmed ? t("confirmed") : t("not-confirmed"), () => on?.single(given, words));
  const list = tooth.values
    // What belongs to a site stands in its cell.
    .filter((value) => value.kind !== "depth" && !value.site)
    // What wants a look first.
    .sort((a, b) => rank(a) - rank(b))
    .map((value) => {
      const is = standing(value);
      return chip(is.key, `value-${value.entry}`, is.sign, value.words, is.words, () => on?.value(value));
    });
  for (const note of notes) list.push(single("note", "✎", note, note.text || t("spoken-note")));
  for (const done of tooth.done) list.push(single("done", "◆", done, done.words));
  const decided = tooth.decision;
  if (decided) {
    list.unshift(chip(`decide ${decided.key}`, "decision", decided.is_confirmed ? "✓" : "?",
      decided.words + (decided.reason ? `, ${decided.reason}` : ""),
      decided.is_confirmed ? t("confirmed") : t("not-confirmed"), () => on?.decision()));
  }
  return list;
}
