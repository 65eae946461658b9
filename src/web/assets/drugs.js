// Drugs given: one form for the drug log, the witness of a controlled drug, and the batch of one that was entered.
// Strengths and published ranges come from the clinic's shelf; what is worked out here is a look ahead, the program
// works it out again, asks where something speaks against it, and tells it back.

import * as draft from "./draft.js";
import { link, press } from "./link.js";
import { t } from "./messages.js";
import { button, capital, close, grid, open, say, send } from "./sheet.js";
import { html } from "./tooth.js";

const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
const nowMs = () => Date.now() + link.clockOffsetMs;
const vocabulary = () => link.words.watch;
/// No zero behind the point: one that is read without it is a tenfold error.
const figure = (number) => String(Math.round(number * 1000) / 1000);

/// The amount's unit: what is given, or what it comes to.
const UNITS = ["ml", "mg", "ug"];

const field = (id, words, more = {}) => html("div", { class: "field" }, html("label", { for: id }, words), html("input", { id, name: id, autocomplete: "off", ...more }));
const pickers = (name, words, choices) => html("fieldset", { class: "wide picks", "data-picks": name }, html("legend", {}, words), ...choices.map(({ key, words }) =>
  html("label", { class: "pick glove" }, html("input", { type: "radio", name, value: key }), html("span", {}, words))));

/// Minutes since that time of day, the last that was. The program's clock, as the page reckons it, moves a little with
/// each beat: a minute that has only just not begun is now.
function minutesAgo(time) {
  const [hours, minutes] = time.split(":").map(Number);
  const now = new Date(nowMs());
  const ago = now.getHours() * 60 + now.getMinutes() - (hours * 60 + minutes);
  return ago === -1 ? 0 : ago < 0 ? ago + 24 * 60 : ago;
}

export function form() {
  const { shelf, routes, roles } = vocabulary();
  const unit = (key) => ({ key, words: t("unit-" + key) });
  const strengths = html("div", { class: "wide" });
  const ahead = html("p", { class: "told wide", "aria-live": "polite" });
  const node = html("form", { class: "patient", novalidate: true },
    pickers("medicine", t("medicine"), shelf.map((drug) => ({ key: drug.name, words: capital(drug.name) + (drug.is_controlled ? " ●" : "") }))),
    html("p", { class: "soft wide" }, t("controlled-sign")),
    field("other", t("medicine-other"), { maxlength: "60" }),
    field("dose", t("amount"), { inputmode: "decimal", maxlength: "8" }),
    pickers("unit", t("unit"), UNITS.map(unit)),
    strengths,
    field("strength", t("strength-other"), { inputmode: "decimal", maxlength: "8" }),
    ahead,
    pickers("route", t("route"), routes.map(({ key, words }) => ({ key, words: capital(words) }))),
    pickers("by", t("given-by"), roles.map(({ key, words }) => ({ key, words: capital(words) }))),
    field("time", t("time-given"), { type: "time", value: clock(nowMs()) }),
    field("batch", t("batch"), { maxlength: "20" }),
    html("p", { class: "soft wide" }, t("medicine-kept")),
    html("button", { type: "submit", class: "yes wide glove" }, t("enter")));
  node.querySelector("input[name=medicine]")?.setAttribute("data-first", "");
  const read = () => {
    const data = new FormData(node);
    const text = (key) => (data.get(key) ?? "").trim() || null;
    const number = (key) => (text(key) === null ? null : Number(text(key).replace(",", ".")));
    const drug = text("other") ?? text("medicine");
    const known = shelf.find((one) => one.name === drug?.toLowerCase());
    const strength = number("strength") ?? number("bottle") ?? (known?.strengths.length === 1 ? known.strengths[0].mg_per_ml : null);
    return { text, number, drug, known, strength };
  };
  /// The bottles of the drug that is chosen, and what the amount comes to.
  const look = () => {
    const { text, number, drug, known, strength } = read();
    const bottles = known?.strengths ?? [];
    if (strengths.dataset.of !== (drug ?? "")) {
      strengths.dataset.of = drug ?? "";
      strengths.replaceChildren(...(bottles.length > 1 ? [pickers("bottle", t("strength-which"), bottles.map((one) => ({ key: one.mg_per_ml, words: one.words })))]
        : bottles.length === 1 ? [html("p", { class: "told" }, t("strength-is", { strength: bottles[0].words }))]
        : drug ? [html("p", { class: "told" }, t("strength-none", { drug: capital(drug) }))] : []));
    }
    const amount = number("dose");
    const unit = text("unit");
    const mg = !amount || !unit ? null : unit === "mg" ? amount : unit === "ug" ? amount / 1000 : strength ? amount * strength : null;
    const ml = !amount || !unit ? null : unit === "ml" ? amount : strength ? mg / strength : null;
    const { patient } = link.state.visit;
    const published = known?.[patient.species === "cat" ? "published_cat" : "published_dog"];
    ahead.textContent = mg === null ? "" : [
      `${figure(mg)} mg`, ml === null ? "" : `${figure(ml)} ml`,
      patient.weight_g ? `${figure(mg / (patient.weight_g / 1000))} mg/kg` : t("no-weight"),
      published ? t("published", { range: published }) : "",
    ].filter(Boolean).join(" · ");
  };
  node.addEventListener("input", look);
  node.addEventListener("change", look);
  node.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { text, number, drug, strength } = read();
    if (!drug) return say(t("medicine-missing"));
    for (const key of ["dose", "strength"]) {
      const typed = text(key)?.replace(",", ".");
      if (typed && !(/^\d{1,5}(\.\d{1,3})?$/.test(typed) && Number(typed) > 0)) return say(t("number-wrong", { text: text(key) }));
    }
    const amount = number("dose");
    const unit = text("unit");
    if (amount !== null && !unit) return say(t("unit-missing"));
    if (text("time") && minutesAgo(text("time")) > 720) return say(t("time-ahead"));
    // A name alone is what the voice enters for "meloxicam given": words, and no entry of the drug log.
    const sent = amount === null
      ? await press("mark", { medicine: drug.toLowerCase() }, drug)
      : await press("watch", { drug: {
        drug, ...(unit === "ml" ? { volume_ml: amount } : { dose_mg: unit === "ug" ? amount / 1000 : amount }),
        ...(strength === null ? {} : { strength_mg_per_ml: strength }), route: text("route"), by: text("by"),
        minutes_ago: text("time") ? minutesAgo(text("time")) : 0, batch: text("batch"),
      } }, drug);
    if (sent) { draft.drop("medicine"); close(); }
  });
  open(t("medicine-given"), node);
  // The bottles are there before what was typed is put back.
  if (draft.keep("medicine", node)) say(t("draft-back"));
  look();
}

/// Which drug, then the batch as it stands on the bottle.
export function batch() {
  const drugs = (link.state.strip?.drugs ?? []).filter((line) => line.is_drug);
  open(t("batch-of-which"), grid("", ...drugs.map((line) => button(`${clock(line.at_ms)}  ${line.text}${line.batch ? "" : ", " + t("no-batch")}`,
    () => batchFor(line.text, (text) => send("watch", { batch: { entry: line.entry, batch: text } }, t("batch")))))),
  drugs.length ? null : html("p", {}, t("none-yet")));
}

/// A batch by letters and figures: typed, or figure by figure with gloves on.
export function batchFor(title, then) {
  const input = html("input", { id: "batch-text", name: "batch", maxlength: "20", autocomplete: "off", autocapitalize: "characters", "data-first": true });
  const done = () => (/^[A-Za-z0-9 ]{1,20}$/.test(input.value.trim()) ? then(input.value.trim()) : say(t("batch-wrong")));
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); done(); } });
  open(title, html("div", { class: "hits" }, html("label", { for: "batch-text" }, t("batch")), input),
    grid("figures", ...["1", "2", "3", "4", "5", "6", "7", "8", "9", "0"].map((digit) => button(digit, () => { input.value += digit; })),
      html("button", { "aria-label": t("delete-figure"), on: () => { input.value = input.value.slice(0, -1); } }, "⌫")),
    grid("", button(t("enter"), done, "yes glove")));
}

/// Of the controlled drug that was entered last.
export function witness() {
  open(t("witness-who"), html("p", { class: "soft" }, t("witness-what")),
    grid("", ...vocabulary().roles.map(({ key, words }) => button(capital(words), () => send("watch", { witness: key }, words)))));
}

/// What was drawn up of a controlled drug and thrown away.
export function waste() {
  const controlled = [...new Set((link.state.strip?.drugs ?? []).filter((line) => line.is_controlled).map((line) => line.drug))];
  open(t("wasted-which"), grid("", ...controlled.map((drug) => button(`${capital(drug)}…`, () => amount(drug)))),
    controlled.length ? null : html("p", {}, t("none-yet")));
}

function amount(drug) {
  const input = html("input", { id: "wasted", name: "wasted", inputmode: "decimal", maxlength: "8", "data-first": true });
  const done = (key) => {
    const number = Number(input.value.trim().replace(",", "."));
    if (!(number > 0)) return say(t("number-wrong", { text: input.value }));
    return send("watch", { wasted: { drug, [key]: number } }, drug);
  };
  open(t("wasted-much", { drug: capital(drug) }), html("div", { class: "hits" }, html("label", { for: "wasted" }, t("amount")), input),
    grid("sides", button(t("unit-ml"), () => done("volume_ml")), button(t("unit-mg"), () => done("dose_mg"))));
}
