// Sheets over the page: what waits for confirmation, a finding, a decision, a tooth; lists; the keys. Large targets,
// few words. A sheet never throws away what was typed in it: see draft.js.

import { batchFor } from "./drugs.js";
import { link, press } from "./link.js";
import { t } from "./messages.js";
import { BADGES } from "./mouth.js";
import { html, standing } from "./tooth.js";

const sheet = document.getElementById("sheet");
const title = document.getElementById("sheet-title");
const body = document.getElementById("sheet-body");
const trouble = document.getElementById("sheet-trouble");
document.getElementById("sheet-close").addEventListener("click", () => sheet.close());
/// Redraws what stands in the sheet when the state changes; nothing where it stays.
let renew = null;
/// What the key or pedal "confirm" does in this sheet.
let onConfirm = null;

export function open(words, ...children) {
  title.textContent = words;
  body.replaceChildren(...children.filter((child) => child !== null && child !== undefined));
  body.scrollTop = 0;
  renew = null;
  onConfirm = null;
  say("");
  if (!sheet.open) sheet.showModal();
  // Into the work, never on "close"; a phone's keyboard opens only where there is nothing but text to enter.
  (body.querySelector("[data-first]") ?? body.querySelector("button:not(:disabled), input, textarea, a, [tabindex='0']") ?? title).focus();
}

export const close = () => sheet.close();
export const isOpen = () => sheet.open;
export const changed = (state) => { if (sheet.open && renew) renew(state); };
export const confirmKey = () => { if (sheet.open && onConfirm) onConfirm(); };

/// Words about trouble with what this sheet asked for.
export function say(words) {
  trouble.hidden = !words;
  trouble.textContent = words ?? "";
}

export const button = (words, on, look = "") => html("button", { class: look, on }, words);
export const send = async (name, content, words) => { if (await press(name, content, words)) sheet.close(); };
export const grid = (look, ...children) => html("div", { class: "grid " + look }, ...children);
export const section = (words) => html("h3", {}, words);
export const capital = (words) => words && words[0].toUpperCase() + words.slice(1);
const first = (node) => { node.setAttribute("data-first", ""); return node; };

// ---- values

/// Takes one value back. Of what was confirmed the program itself asks, as it does by voice: never twice.
export const withdraw = (given, words) => send("withdraw", { entry: given.entry }, words);

const withdrawing = (given, words) => button(t("withdraw", { words }), () => withdraw(given, words), "withdraw");

/// What is entered, with its standing; a touch withdraws.
export function entered(list) {
  if (!list.length) return [section(t("entered-nothing"))];
  return [section(t("entered-touch")), html("div", { class: "hits" }, ...list.map((given) => html("button", {
    class: "line", on: () => given.is_confirmed ? withdraw(given, given.words) : sure(t("withdraw-sure", { words: given.words }), () => withdraw(given, given.words)),
  }, html("i", { "aria-hidden": "true" }, given.is_confirmed ? "✓" : "?"), given.words, html("span", { class: "mark" }, given.is_confirmed ? t("confirmed") : t("not-confirmed")))))];
}

export function choose(tooth, kind, entrance, words, given = null, root = null) {
  const choices = kind.choices.length === 1 && given ? [] : kind.choices;
  const isNow = (choice) => given && JSON.stringify(choice.value) === JSON.stringify(given.value);
  open(`${tooth}: ${words}`, choices.length ? grid(choices.length > 9 ? "figures" : "", ...choices.map((choice) =>
    button(choice.words, () => send("finding", { tooth, kind: kind.kind, site: null, entrance, root, value: choice.value }, `${tooth} ${words} ${choice.words}`), isNow(choice) ? "now" : ""))) : null,
    given ? grid("", withdrawing(given, given.words)) : null);
}

export function value(tooth, given) {
  const kind = link.words.kinds.find((one) => one.kind === given.kind);
  choose(tooth, kind, given.entrance, kind.title, given, given.root);
}

/// Something done, or a note: there is nothing to choose, only to withdraw.
export function single(tooth, given, words) {
  open(`${tooth}: ${words}`, html("p", { class: "told" }, given.is_confirmed ? "✓ " + t("confirmed") : "? " + t("not-confirmed")),
    grid("", withdrawing(given, t("this"))));
}

// What is found often stands first; the kinds themselves come from the program.
const COMMON = ["mobility", "furcation", "gingivitis", "calculus", "plaque", "bleeding", "fracture", "resorption_stage",
  "resorption_type", "pulp_exposed", "wear", "root_retained", "persistent_deciduous", "supernumerary"];

/// Every finding of a tooth; what only films show is a sheet of its own.
export function finding(tooth, upper, ofFilms = false) {
  const kinds = link.words.kinds.filter((kind) =>
    kind.reach !== "mouth" && kind.is_of_films === ofFilms && !kind.is_of_lesions && !["depth", "normal", "absent"].includes(kind.kind));
  kinds.sort((a, b) => rank(a) - rank(b));
  const key = (kind) => button(kind.title, () => {
    if (kind.reach === "entrance") return entrances(tooth, kind, upper);
    if (kind.reach === "root") return roots(tooth, kind);
    if (kind.choices.length === 1) {
      return send("finding", { tooth, kind: kind.kind, site: null, entrance: null, value: kind.choices[0].value }, `${tooth} ${kind.title}`);
    }
    choose(tooth, kind, null, kind.title);
  });
  open(ofFilms ? t("film-finding-of", { tooth }) : t("finding-of", { tooth }), grid("many", ...kinds.map(key),
    ...(ofFilms ? [] : [button(t("on-the-film"), () => finding(tooth, upper, true))])));
}

/// Of which root: what has no values to choose from is entered by that touch.
function roots(tooth, kind) {
  const names = link.words.roots.map((root) => [root.key, root.words]);
  open(t("which-root", { tooth, words: kind.title }), grid("", ...[[null, t("tooth-as-a-whole")], ...names].map(([root, place]) =>
    button(place, () => (kind.choices.length === 1
      ? send("finding", { tooth, kind: kind.kind, site: null, entrance: null, root, value: kind.choices[0].value }, `${tooth} ${kind.title} ${place}`)
      : choose(tooth, kind, null, `${kind.title} ${place}`, null, root))))));
}

const rank = (kind) => { const at = COMMON.indexOf(kind.kind); return at < 0 ? COMMON.length : at; };

/// From where a furcation is felt: with a grade chosen already, one touch enters it.
export function entrances(tooth, kind, upper, choice = null) {
  const names = link.words.entrances.map((entrance) => [entrance.key, upper ? entrance.upper : entrance.lower]);
  const words = choice ? `${kind.title} ${choice.words}` : kind.title;
  open(t("from-where", { tooth, words }), grid("", ...[...names, [null, t("tooth-as-a-whole")]].map(([key, place]) =>
    button(place, () => (choice
      ? send("finding", { tooth, kind: kind.kind, site: null, entrance: key, value: choice.value }, `${tooth} ${words} ${place}`)
      : choose(tooth, kind, key, `${kind.title} ${place}`))))));
}

/// Teeth without any entry become normal, a row or a jaw at once.
export function rest() {
  const missing = link.state.missing;
  const count = (quadrants) => missing.filter((tooth) => quadrants.includes(((Math.floor(tooth / 100) - 1) % 4) + 1)).length;
  const rows = [[[1, 2], "upper-jaw"], [[3, 4], "lower-jaw"], [[1], "quadrant-1"], [[2], "quadrant-2"], [[3], "quadrant-3"], [[4], "quadrant-4"], [[], "whole-mouth"]];
  open(t("rest-normal-which"), html("p", { class: "told" }, t("rest-normal-what")),
    grid("", ...rows.map(([quadrants, key]) => {
      const teeth = quadrants.length ? count(quadrants) : missing.length;
      const node = html("button", { disabled: !teeth, on: () => send("normal_rest", { quadrants }, t(key)) }, t(key), html("small", {}, t("count-teeth", { count: teeth })));
      return node;
    })));
}

// ---- decisions and work

const deciding = (decision, more = {}) => ({ decision, months: null, treatment: null, reason: null, ...more });

/// A decision with all that may belong to it. The reason is marked first, then the last touch enters.
export function decide(tooth, key) {
  const { decisions, months, reasons, treatments } = link.words;
  const words = decisions.find((one) => one.key === key).words;
  let reason = null;
  const enter = (more) => send("decide", { tooth, ...deciding(key, { reason, ...more }) }, `${tooth} ${words}`);
  const last = {
    extract: null,
    leave: null,
    monitor: () => [section(t("months-which")), grid("figures", ...months.map((count) => button(String(count), () => enter({ months: count })))),
      grid("", button(t("months-not-said"), () => enter({})))],
    treat: () => [section(t("treat-how")), grid("many", ...treatments.map((one) => button(one.words, () => enter({ treatment: one.key }))))],
  }[key];
  if (!last) {
    open(t("decision-because", { tooth, words }), grid("many", button(t("no-reason"), () => enter({})),
      ...reasons.map((one) => button(one.words, () => { reason = one.key; enter({}); }))));
    return;
  }
  const choices = reasons.map((one) => html("button", { "aria-pressed": "false", on: (event) => {
    reason = reason === one.key ? null : one.key;
    for (const node of choices) node.setAttribute("aria-pressed", String(reason !== null && node === event.currentTarget));
  } }, one.words));
  open(t("decision-of", { tooth, words }), ...last(), section(t("reason-first")), grid("many", ...choices));
}

export function decision(tooth) {
  const { decisions } = link.words;
  const given = link.state.visit.teeth.find((one) => one.tooth === tooth)?.decision;
  open(t("decided-what", { tooth }),
    given ? html("p", { class: "told" }, `${given.words}${given.reason ? ", " + given.reason : ""} (${given.is_confirmed ? t("confirmed") : t("not-confirmed")})`) : null,
    grid("", ...decisions.map(({ key, words }) => button(`${BADGES[key]}  ${capital(words)}…`, () => decide(tooth, key), given?.key === key ? "now" : "")),
      given ? withdrawing(given, t("the-decision")) : null));
}

export function work(tooth) {
  const unsaid = { reasons: "no-reason", flaps: "kind-not-said" };
  const more = (key, words, list) => open(`${tooth}: ${words}…`, grid("",
    unsaid[list] ? button(t(unsaid[list]), () => send("work", { tooth, work: { [key]: null } }, words)) : null,
    ...link.words[list].map((choice) => button(choice.words, () => send("work", { tooth, work: { [key]: choice.key } }, words)))));
  open(t("work-of", { tooth }), grid("", ...link.words.works.map(({ key, words, then }) =>
    button(then ? `${words}…` : words, () => (then ? more(key, words, then) : send("work", { tooth, work: key }, words)))),
  ...[[true, t("for-second-visit")], [false, t("for-today")]].map(([later, words]) =>
    button(words, () => send("surgery", { tooth, what: { staged: { is_later: later } } }, words))),
  ...link.words.implants.map(({ key, words }) => button(t("batch-of", { what: words }) + "…", () =>
    batchFor(`${tooth}: ${t("batch-of", { what: words })}`, (batch) => send("implant_batch", { tooth, what: key, batch }, t("batch-of", { what: words })))))));
}

export const strike = (tooth) => sure(t("withdraw-all-sure", { tooth }), () => send("strike", { tooth }, t("withdraw-all-short")));

export function sure(question, then) {
  open(question, grid("", first(button(t("yes"), then, "yes")), button(t("no"), () => sheet.close(), "no")));
}

// ---- what waits for confirmation

/// All values that nobody confirmed, by tooth: what is not of a tooth last.
export function waiting(visit) {
  const groups = [];
  const add = (title, tooth, values) => {
    const left = values.filter((value) => value && !value.is_confirmed);
    if (left.length) groups.push({ title, tooth, values: left });
  };
  const notes = (tooth) => visit.notes.filter((note) => note.tooth === tooth).map((note) => ({ ...note, words: `✎ ${note.text || t("spoken-note")}` }));
  for (const tooth of visit.teeth) {
    add(String(tooth.tooth), tooth.tooth, [...tooth.values, tooth.decision, ...tooth.done, ...notes(tooth.tooth)]);
  }
  add(t("mouth-and-procedure"), null, [...visit.mouth, ...visit.procedures, ...notes(null)]);
  return groups;
}

/// One screen with what waits, by tooth: all, some or one tooth are confirmed from here.
export function confirm(state) {
  const groups = waiting(state.visit);
  const all = groups.flatMap((group) => group.values.map((value) => value.entry));
  const left = new Set(all);
  const main = first(html("button", { class: "yes glove wide", on: () => done([...left]) }));
  const done = (entries) => { if (entries.length) send("confirm_these", { entries }, t("confirm-count", { count: entries.length })); };
  const show = () => {
    main.textContent = left.size === all.length ? t("confirm-all", { count: all.length }) : t("confirm-some", { count: left.size, all: all.length });
    main.disabled = left.size === 0;
  };
  const line = (group, value) => {
    const is = standing(value);
    const normal = state.normal_depth_mm;
    const deep = value.kind === "depth" && value.value.mm > normal;
    const node = html("button", { class: `wait ${is.key} ${deep ? "deep" : ""}`, "aria-pressed": "true", on: () => {
      if (left.delete(value.entry)) node.setAttribute("aria-pressed", "false");
      else { left.add(value.entry); node.setAttribute("aria-pressed", "true"); }
      show();
    } }, html("i", { "aria-hidden": "true" }, is.sign), capital(value.words), value.is_doubtful ? html("small", {}, is.words) : null, deep ? html("small", {}, t("deep")) : null);
    return node;
  };
  show();
  open(t("waits-title", { count: all.length }), main, html("p", { class: "soft" }, t("waits-how")),
    ...groups.map((group) => html("section", { class: "waits", "aria-label": group.title },
      html("div", { class: "row" }, html("h3", {}, group.title),
        button(t("confirm-only", { count: group.values.length }), () => done(group.values.map((value) => value.entry)), "only")),
      html("div", { class: "wait-list" }, ...group.values.map((value) => line(group, value))))));
  onConfirm = () => done([...left]);
  // Values that came meanwhile are not in the list, so they are not confirmed with it.
  renew = (now) => {
    const news = waiting(now.visit ?? { teeth: [], mouth: [], procedures: [], notes: [] }).flatMap((group) => group.values).filter((value) => !all.includes(value.entry)).length;
    say(news ? t("waits-new", { count: news }) : "");
  };
}

// ---- a tooth by its number

export function pick(teeth, onPick) {
  const quadrants = [...new Set(teeth.map((tooth) => Math.floor(tooth / 100)))];
  open(t("which-row"), grid("pairs", ...quadrants.map((quadrant) =>
    button(`${quadrant}   ${t("quadrant-" + (((quadrant - 1) % 4) + 1))}${quadrant > 4 ? ", " + t("deciduous") : ""}`, () => open(t("which-tooth"), grid("figures",
      ...teeth.filter((tooth) => Math.floor(tooth / 100) === quadrant).map((tooth) =>
        button(String(tooth), () => { sheet.close(); onPick(tooth); }))))))));
}

// ---- lists

export function alerts(state, onPick) {
  const weights = { urgent: "!!", caution: "!", note: "i" };
  const draw = (now) => (now.alerts.length ? now.alerts.map((alert) => html("button", {
    class: `line ${alert.weight}`, on: () => { sheet.close(); if (alert.tooth) onPick(alert.tooth); },
  }, html("i", {}, weights[alert.weight]), `${alert.tooth ? alert.tooth + ": " : ""}${alert.text}`)) : [html("p", {}, t("none"))]);
  open(t("alerts"), ...draw(state));
}

export function decisions(visit, onPick) {
  const decided = visit.teeth.filter((tooth) => tooth.decision);
  open(t("decisions"), ...(decided.length ? decided.map((tooth) => html("button", { class: "line", on: () => { sheet.close(); onPick(tooth.tooth); } },
    html("i", {}, tooth.decision.is_confirmed ? "✓" : "?"),
    `${tooth.tooth} ${tooth.decision.words}${tooth.decision.reason ? ", " + tooth.decision.reason : ""}${tooth.decision.is_confirmed ? "" : ", " + t("not-confirmed")}`,
  )) : [html("p", {}, t("none-yet"))]));
}

/// Stays open, so that several points are ticked in a row.
export function checks(state) {
  const list = html("div", { class: "hits" });
  const draw = (now) => {
    const key = list.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    list.replaceChildren(...(now.check_list.length ? now.check_list.map((point) => html("button", {
      class: "line", "data-key": point.key, disabled: point.is_done || !point.is_by_hand, on: () => press("mark", { checked: point.key }, point.text),
    }, html("i", {}, point.is_done ? "☑" : "☐"), point.text, point.is_done || point.is_by_hand ? null : html("span", {}, t("by-itself")))) : [html("p", {}, t("nothing-to-check"))]));
    if (key) (list.querySelector(`[data-key="${CSS.escape(key)}"]:not(:disabled)`) ?? list.querySelector("button:not(:disabled)") ?? title).focus();
  };
  draw(state);
  open(t("check-list"), list);
  renew = draw;
}

/// A sheet that is drawn anew with each state and stays open.
export function living(words, draw) {
  open(words, ...draw(link.state));
  renew = (state) => {
    const key = body.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const top = body.scrollTop;
    body.replaceChildren(...draw(state).filter(Boolean));
    body.scrollTop = top;
    if (key) body.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus();
  };
}

export function keys() {
  const rows = [["0–9", "key-figures"], ["Shift 1–9", "key-high"], ["↑ ↓ ← →", "key-sites"], ["Backspace", "key-withdraw"], ["Enter, +", "key-next"], ["−", "key-previous"],
    ["C, Page Down", "key-confirm"], ["U, Page Up", "key-undo"], ["Y", "key-yes"], ["X", "key-no"],
    ["A", "key-all"], ["V", "key-last"], ["D, F, E", "key-tabs"], ["P", "key-pause"], ["N", "key-note"], ["R", "key-repeat"], ["S", "key-quiet"],
    ["T", "key-procedure"], ["O", "key-mouth"], ["M", "key-more"], ["L", "key-theme"], ["Esc", "key-esc"]];
  open(t("keys-title"), html("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": t("keys-title") },
    html("table", { class: "keys" }, html("tbody", {}, ...rows.map(([key, does]) => html("tr", {}, html("th", { scope: "row" }, key), html("td", {}, t(does))))))),
    html("p", {}, t("keys-pedal")), html("p", {}, t("speech-is-english")));
}
