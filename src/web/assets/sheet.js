// Sheets over the page: choose a value, a finding, a decision, a tooth; lists; the keys. Large targets, few words.

import { link, press } from "./link.js";
import { BADGES } from "./mouth.js";
import { html } from "./tooth.js";

const sheet = document.getElementById("sheet");
const title = document.getElementById("sheet-title");
const body = document.getElementById("sheet-body");
document.getElementById("sheet-close").addEventListener("click", () => sheet.close());

export function open(words, ...children) {
  title.textContent = words;
  body.replaceChildren(...children.filter((child) => child !== null && child !== undefined));
  body.scrollTop = 0;
  if (!sheet.open) sheet.showModal();
}

export const close = () => sheet.close();
export const isOpen = () => sheet.open;

export const button = (words, on, look = "") => html("button", { class: look, on }, words);
export const send = async (name, content) => { if (await press(name, content)) sheet.close(); };
export const grid = (look, ...children) => html("div", { class: "grid " + look }, ...children);
export const section = (words) => html("h3", {}, words);

// ---- values

/// Takes one value back. What was confirmed is asked about first.
function withdraw(given, words) {
  const gone = () => send("withdraw", { entry: given.entry });
  if (given.is_confirmed) sure(`${words}: was confirmed. Withdraw it?`, gone);
  else gone();
}

const withdrawing = (given, words) => button(`Withdraw ${words}`, () => withdraw(given, words), "withdraw");

/// What is entered, with its standing; a touch withdraws.
export function entered(list) {
  if (!list.length) return [section("Entered: nothing yet")];
  return [section("Entered: touch one to withdraw it"), html("div", { class: "hits" }, ...list.map((given) => html("button", {
    class: "line", on: () => sure(`Withdraw ${given.words}?`, () => send("withdraw", { entry: given.entry })),
  }, html("i", { "aria-hidden": "true" }, given.is_confirmed ? "✓" : "?"), given.words, html("span", { class: "mark" }, given.is_confirmed ? "confirmed" : "not confirmed"))))];
}

/// A depth (or recession, enlargement, bleeding) at one site.
export function site(tooth, siteKey, words) {
  const here = link.state.visit.teeth.find((one) => one.tooth === tooth)?.values.filter((value) => value.site === siteKey) ?? [];
  const of = (kind) => here.find((value) => value.kind === kind);
  const pad = (kind, max) => grid("figures", ...Array.from({ length: max + 1 }, (_, mm) => {
    const now = mm === of(kind)?.value.mm;
    return html("button", { class: now ? "now" : "", "aria-current": now ? "true" : null, on: () => send("finding", { tooth, kind, site: siteKey, entrance: null, value: { mm } }) }, String(mm));
  }));
  const alone = (kind, title) => button(`${title}…`, () => open(`${tooth} ${words}: ${title.toLowerCase()} in mm`, pad(kind, 15),
    of(kind) ? grid("", withdrawing(of(kind), `${titleOf(kind)} ${of(kind).value.mm ?? ""}`)) : null));
  open(`${tooth} ${words}: depth in mm`, pad("depth", 15),
    grid("", alone("recession", "Recession"), alone("enlargement", "Enlargement"),
      of("bleeding") ? null : button("Bleeding here", () => send("finding", { tooth, kind: "bleeding", site: siteKey, entrance: null, value: "present" })),
      ...here.map((value) => withdrawing(value, `${titleOf(value.kind)} ${value.value.mm ?? ""}`))));
}

const titleOf = (kind) => link.words.kinds.find((one) => one.kind === kind).title;

function choose(tooth, kind, entrance, words, given = null) {
  const choices = kind.choices.length === 1 && given ? [] : kind.choices;
  const isNow = (choice) => given && JSON.stringify(choice.value) === JSON.stringify(given.value);
  open(`${tooth}: ${words}`, choices.length ? grid(choices.length > 9 ? "figures" : "", ...choices.map((choice) =>
    button(choice.words, () => send("finding", { tooth, kind: kind.kind, site: null, entrance, value: choice.value }), isNow(choice) ? "now" : ""))) : null,
    given ? grid("", withdrawing(given, given.words)) : null);
}

export function value(tooth, given) {
  const kind = link.words.kinds.find((one) => one.kind === given.kind);
  choose(tooth, kind, given.entrance, kind.title, given);
}

/// Something done, or a note: there is nothing to choose, only to withdraw.
export function single(tooth, given, words) {
  open(`${tooth}: ${words}`, html("p", { class: "told" }, given.is_confirmed ? "✓ confirmed" : "? not confirmed"),
    grid("", withdrawing(given, "this")));
}

// What is found often stands first; the kinds themselves come from the program.
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
  const names = link.words.entrances.map((entrance) => [entrance.key, upper ? entrance.upper : entrance.lower]);
  open(`${tooth}: ${kind.title}, from where?`, grid("", ...[...names, [null, "not said where"]].map(([key, words]) =>
    button(words, () => choose(tooth, kind, key, `${kind.title} ${words}`)))));
}

// ---- decisions and work

export function decision(tooth) {
  const { decisions, months, reasons, treatments } = link.words;
  const decide = (decision, more = {}) => ({ tooth, decision, months: null, treatment: null, reason: null, ...more });
  const because = (words, content) => open(`${tooth}: ${words}, because of…`, grid("",
    button("No reason given", () => send("decide", content)),
    ...reasons.map((reason) => button(reason.words, () => send("decide", { ...content, reason: reason.key })))));
  const then = {
    monitor: (key, words) => open(`${tooth}: ${words}, look again in how many months?`,
      grid("figures", ...months.map((count) => button(String(count), () => because(words, decide(key, { months: count }))))),
      grid("", button("Not said", () => because(words, decide(key))))),
    treat: (key, words) => open(`${tooth}: ${words} how?`, grid("", ...treatments.map((treatment) =>
      button(treatment.words, () => because(words, decide(key, { treatment: treatment.key })))))),
  };
  const given = link.state.visit.teeth.find((one) => one.tooth === tooth)?.decision;
  open(`${tooth}: what did the vet decide?`,
    grid("", ...decisions.map(({ key, words }) => button(`${BADGES[key]}  ${words[0].toUpperCase()}${words.slice(1)}`,
      () => (then[key] ? then[key](key, words) : because(words, decide(key))), given?.key === key ? "now" : ""))),
    section("Or"),
    grid("", button("Work done…", () => work(tooth)), given ? withdrawing(given, "the decision") : null,
      button("Withdraw all of this tooth…", () => sure(`Withdraw all entries of ${tooth}?`, () => send("strike", { tooth })), "withdraw")));
}

function work(tooth) {
  const more = (key, words, list) => open(`${tooth}: ${words}…`, grid("",
    list === "reasons" ? button("No reason given", () => send("work", { tooth, work: { [key]: null } })) : null,
    ...link.words[list].map((choice) => button(choice.words, () => send("work", { tooth, work: { [key]: choice.key } })))));
  open(`${tooth}: work done`, grid("", ...link.words.works.map(({ key, words, then }) =>
    button(then ? `${words}…` : words, () => (then ? more(key, words, then) : send("work", { tooth, work: key }))))));
}

export function sure(question, then) {
  open(question, grid("", button("Yes", then, "yes"), button("No", () => sheet.close(), "no")));
}

// ---- a tooth by its number

export function pick(teeth, onPick) {
  const quadrants = [...new Set(teeth.map((tooth) => Math.floor(tooth / 100)))];
  const place = ["upper right", "upper left", "lower left", "lower right"];
  open("Which row? The animal's own side", grid("pairs", ...quadrants.map((quadrant) =>
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
  open("Check list", ...(state.check_list.length ? state.check_list.map((point) => html("button", {
    class: "line", disabled: point.is_done || !point.is_by_hand, on: () => send("mark", { checked: point.key }),
  }, html("i", {}, point.is_done ? "☑" : "☐"), point.text + (point.is_done || point.is_by_hand ? "" : " (by itself)"))) : [html("p", {}, "Nothing to check")]));
}

export function keys() {
  const rows = [["C, Page Down", "confirm what is shown"], ["U, Page Up", "undo"], ["Y", "yes to a question"], ["X", "no to a question"],
    ["→, +", "next tooth"], ["←, −", "previous tooth"], ["P", "pause, go on"], ["N", "note"], ["R", "say again"], ["S", "stop speaking"],
    ["T", "procedure"], ["O", "mouth"], ["M", "more"], ["L", "light or dark"], ["Esc", "close"]];
  open("Keys and foot pedal", html("table", { class: "keys" }, html("tbody", {}, ...rows.map(([key, does]) => html("tr", {}, html("th", { scope: "row" }, key), html("td", {}, does))))),
    html("p", {}, "A foot pedal that acts as a keyboard is set to Page Down (confirm) and Page Up (undo). A question is answered by Y and X only, never by the pedal."));
}
