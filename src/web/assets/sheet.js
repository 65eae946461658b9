// Sheets over the page: choose a value, a finding, a decision, a tooth; lists; the keys. Large targets, few words.

import { link, press } from "./link.js";
import { html } from "./tooth.js";

const sheet = document.getElementById("sheet");
const title = document.getElementById("sheet-title");
const body = document.getElementById("sheet-body");
document.getElementById("sheet-close").addEventListener("click", () => sheet.close());

export function open(words, ...children) {
  title.textContent = words;
  body.replaceChildren(...children);
  body.scrollTop = 0;
  if (!sheet.open) sheet.showModal();
}

export const close = () => sheet.close();
export const isOpen = () => sheet.open;

const button = (words, on, look = "") => html("button", { class: look, on }, words);
const send = async (name, content) => { if (await press(name, content)) sheet.close(); };
export const grid = (look, ...children) => html("div", { class: "grid " + look }, ...children);

// ---- values

/// A depth (or recession, enlargement, bleeding) at one site.
export function site(tooth, siteKey, words) {
  const now = (kind) => link.state.visit.teeth.find((one) => one.tooth === tooth)
    ?.values.find((value) => value.kind === kind && value.site === siteKey)?.value.mm;
  const pad = (kind, max) => grid("figures", ...Array.from({ length: max + 1 }, (_, mm) =>
    html("button", { class: mm === now(kind) ? "now" : "", "aria-current": mm === now(kind) ? "true" : null, on: () => send("finding", { tooth, kind, site: siteKey, entrance: null, value: { mm } }) }, String(mm))));
  open(`${tooth} ${words}: depth in mm`, pad("depth", 15),
    grid("", button("Recession…", () => open(`${tooth} ${words}: recession in mm`, pad("recession", 15))),
      button("Enlargement…", () => open(`${tooth} ${words}: enlargement in mm`, pad("enlargement", 15))),
      button("Bleeding here", () => send("finding", { tooth, kind: "bleeding", site: siteKey, entrance: null, value: "present" }))));
}

function choose(tooth, kind, entrance, words) {
  open(`${tooth ?? "Mouth"}: ${words}`, grid("", ...kind.choices.map((choice) =>
    button(choice.words, () => send("finding", { tooth, kind: kind.kind, site: null, entrance, value: choice.value })))));
}

export function value(tooth, given) {
  if (given.site) return site(tooth, given.site, given.words);
  const kind = link.words.kinds.find((one) => one.kind === given.kind);
  choose(tooth, kind, given.entrance, kind.title);
}

const COMMON = ["mobility", "furcation", "gingivitis", "calculus", "plaque", "bleeding", "fracture", "resorption_stage",
  "resorption_type", "pulp_exposed", "wear", "root_retained", "persistent_deciduous", "supernumerary"];

export function finding(tooth, upper) {
  const kinds = link.words.kinds.filter((kind) =>
    kind.reach !== "mouth" && !["depth", "normal", "absent"].includes(kind.kind));
  kinds.sort((a, b) => rank(a) - rank(b));
  open(`${tooth}: finding`, grid("",
    button("Nothing abnormal", () => send("normal", { tooth })),
    button("Missing tooth", () => send("finding", { tooth, kind: "absent", site: null, entrance: null, value: "present" })),
    ...kinds.map((kind) => button(kind.title, () => {
      if (kind.reach === "entrance") return entrances(tooth, kind, upper);
      if (kind.choices.length === 1) {
        return send("finding", { tooth, kind: kind.kind, site: null, entrance: null, value: kind.choices[0].value });
      }
      choose(tooth, kind, null, kind.title);
    }))));
}

const rank = (kind) => { const at = COMMON.indexOf(kind.kind); return at < 0 ? COMMON.length : at; };

function entrances(tooth, kind, upper) {
  const names = [["buccal", "buccal"], ["lingual", upper ? "palatal" : "lingual"], ["mesial", "mesial"], ["distal", "distal"], [null, "not said where"]];
  open(`${tooth}: ${kind.title}, from where?`, grid("", ...names.map(([key, words]) =>
    button(words, () => choose(tooth, kind, key, `${kind.title} ${words}`)))));
}

// ---- decisions and work

export function decision(tooth) {
  const decide = (decision, more = {}) => ({ tooth, decision, months: null, treatment: null, reason: null, ...more });
  const because = (words, content) => open(`${tooth}: ${words}, because of…`, grid("",
    button("No reason given", () => send("decide", content)),
    ...link.words.reasons.map((reason) => button(reason.words, () => send("decide", { ...content, reason: reason.key })))));
  open(`${tooth}: what did the vet decide?`, grid("",
    button("E  Extract", () => because("extract", decide("extract"))),
    button("M  Monitor", () => open(`${tooth}: monitor, look again in…`, grid("figures",
      button("not said", () => because("monitor", decide("monitor"))),
      ...[1, 2, 3, 4, 6, 9, 12, 18, 24].map((months) => button(`${months} mo`, () => because("monitor", decide("monitor", { months }))))))),
    button("L  Leave", () => because("leave", decide("leave"))),
    button("T  Treat", () => open(`${tooth}: treat how?`, grid("", ...link.words.treatments.map((treatment) =>
      button(treatment.words, () => because("treat", decide("treat", { treatment: treatment.key }))))))),
    button("Work done…", () => work(tooth)),
    button("Withdraw all of this tooth…", () => sure(`Withdraw all entries of ${tooth}?`, () => send("strike", { tooth })))));
}

function work(tooth) {
  const done = (words, key) => button(words, () => send("work", { tooth, work: key }));
  open(`${tooth}: work`, grid("",
    done("Film wanted", "film_wanted"), done("Film taken", "film_taken"), done("Flap raised", "flap"),
    done("Extracted, closed", "extracted_closed"), done("Extracted, sectioned", "extracted_sectioned"),
    done("Extracted, surgical", "extracted_surgical"), done("Roots complete on film", "roots_complete"), done("Sutured", "sutured")));
}

export function sure(question, then) {
  open(question, grid("", button("Yes", then, "yes"), button("No", () => sheet.close(), "no")));
}

// ---- a tooth by its number

export function pick(teeth, onPick) {
  const quadrants = [...new Set(teeth.map((tooth) => Math.floor(tooth / 100)))];
  const place = ["upper right", "upper left", "lower left", "lower right"];
  open("Which row? The animal's own side", grid("", ...quadrants.map((quadrant) =>
    button(`${quadrant}   ${place[(quadrant - 1) % 4]}${quadrant > 4 ? ", deciduous" : ""}`, () => open("Which tooth?", grid("figures",
      ...teeth.filter((tooth) => Math.floor(tooth / 100) === quadrant).map((tooth) =>
        button(String(tooth), () => { sheet.close(); onPick(tooth); }))))))));
}

// ---- notes

export function note(tooth) {
  const text = html("textarea", { id: "note-text", rows: "4", maxlength: "2000" });
  open(tooth ? `Note to ${tooth}` : "Note",
    html("label", { for: "note-text" }, "Text"), text,
    grid("", button("Save the note", () => send("note", { tooth, text: text.value }), "yes"),
      link.state.has_microphone ? button("Speak it", () => send("spoken_note")) : null));
  text.focus();
}

// ---- lists

export function alerts(state, onPick) {
  const weights = { urgent: "!!", caution: "!", note: "i" };
  open("Alerts", ...(state.alerts.length ? state.alerts.map((alert) => html("button", {
    class: `line ${alert.weight}`, on: () => { sheet.close(); if (alert.tooth) onPick(alert.tooth); },
  }, html("i", {}, weights[alert.weight]), `${alert.tooth ? alert.tooth + ": " : ""}${alert.text}`)) : [html("p", {}, "None")]));
}

export function decisions(visit, onPick) {
  const decided = visit.teeth.filter((tooth) => tooth.decision);
  open("Decisions", ...(decided.length ? decided.map((tooth) => html("button", { class: "line", on: () => { sheet.close(); onPick(tooth.tooth); } },
    html("i", {}, tooth.decision.is_confirmed ? "✓" : "?"),
    `${tooth.tooth} ${tooth.decision.words}${tooth.decision.reason ? ", " + tooth.decision.reason : ""}${tooth.decision.is_confirmed ? "" : ", not confirmed"}`,
  )) : [html("p", {}, "None yet")]));
}

export function checks(state) {
  const mark = (words, key) => button(words, () => send("mark", key));
  open("Check list",
    ...state.check_list.map((point) => html("button", {
      class: "line", disabled: point.is_done || !point.is_by_hand, on: () => send("mark", { checked: point.key }),
    }, html("i", {}, point.is_done ? "☑" : "☐"), point.text + (point.is_done || point.is_by_hand ? "" : " (by itself)"))),
    html("h3", {}, "Times and counts"),
    grid("", mark("Anaesthetic on", "anaesthesia_started"), mark("Anaesthetic off", "anaesthesia_ended"),
      mark("Procedure begins", "procedure_started"), mark("Procedure ends", "procedure_ended"),
      mark("Throat pack in", "throat_pack_in"), mark("Throat pack out", "throat_pack_out"),
      mark("Mouth gag in", "gag_in"), mark("Mouth gag out", "gag_out"),
      mark("Whole mouth films taken", "films_taken"), mark("Films read", "films_read"),
      mark("Scaled", "scaled"), mark("Polished", "polished"),
      button("Swabs counted…", () => open("How many swabs?", grid("figures", ...Array.from({ length: 21 }, (_, count) => mark(String(count), { swabs: count }))))),
      button("Temperature…", temperature)));
}

function temperature() {
  const degrees = Array.from({ length: 10 }, (_, at) => 32 + at);
  open("Temperature in °C", grid("figures", ...degrees.map((whole) => button(`${whole}.`, () =>
    open(`${whole}. what?`, grid("figures", ...Array.from({ length: 10 }, (_, tenth) =>
      button(`${whole}.${tenth}`, () => send("mark", { celsius_tenths: whole * 10 + tenth })))))))));
}

export function keys() {
  const rows = [["C, Page Down", "confirm what is shown"], ["U, Page Up", "undo"], ["Y", "yes to a question"], ["X", "no to a question"],
    ["→, +", "next tooth"], ["←, −", "previous tooth"], ["P", "pause, go on"], ["N", "note"], ["R", "say again"], ["S", "stop speaking"],
    ["M", "more"], ["L", "light or dark"], ["Esc", "close"]];
  open("Keys and foot pedal", html("table", { class: "keys" }, html("tbody", {}, ...rows.map(([key, does]) => html("tr", {}, html("th", { scope: "row" }, key), html("td", {}, does))))),
    html("p", {}, "A foot pedal that acts as a keyboard is set to Page Down (confirm) and Page Up (undo). A question is answered by Y and X only, never by the pedal."));
}
