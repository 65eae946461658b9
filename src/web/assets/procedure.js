// Two sheets of what belongs to no single tooth: the procedure (times, blocks, medicines, films, counts) and the mouth
// (bite, findings away from the teeth). All choices come from the program.

import { link } from "./link.js";
import { button, entered, grid, open, section, send } from "./sheet.js";
import { html } from "./tooth.js";

const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
const ml = (hundredths) => String(hundredths / 100);
const capital = (words) => words[0].toUpperCase() + words.slice(1);

// ---- the procedure

export function procedure() {
  const { visit, anaesthetics } = link.state;
  const words = link.words;
  // What was marked already says when.
  const mark = ({ key, words }) => {
    const last = visit.procedures.findLast((done) => done.words === words);
    return html("button", { class: last ? "marked" : "", on: () => send("mark", key) },
      capital(words), last ? html("small", {}, `✓ ${clock(last.at_ms)}`) : null);
  };
  open("Procedure",
    section("Times"), grid("pairs", ...words.times.map(mark)),
    section("Given and done"),
    grid("many", button("Nerve block…", block), button("Medicine given…", medicine), ...words.mouth_works.map(mark),
      button("Swabs counted…", swabs), button("Temperature…", temperature)),
    ...ceilings(anaesthetics.filter((drug) => Number(drug.given_ml) > 0)),
    ...entered([...visit.procedures].reverse().map((done) => ({ ...done, words: `${clock(done.at_ms)}  ${done.words}` }))));
}

function ceilings(drugs) {
  if (!drugs.length) return [];
  return [...drugs.map((drug) => html("p", { class: "told" }, `${capital(drugWords(drug.drug))} in all: ${so_far(drug)}`)),
    html("p", { class: "soft" }, "For checking only: the licensed vet decides the dose.")];
}

const drugWords = (key) => link.words.drugs.find((drug) => drug.key === key).words;

function so_far(drug) {
  const given = `${drug.given_ml} ml (${drug.given_mg} mg) given`;
  return drug.ceiling_mg === null ? `${given}; no weight, so the ceiling is not known`
    : `${given} of at most ${drug.ceiling_mg} mg; up to ${drug.left_ml} ml of ${drug.percent} % left`;
}

function block() {
  const { blocks, sides } = link.words;
  open("Nerve block: which?", grid("sides", ...blocks.flatMap((block) => sides.map((side) =>
    button(capital(`${side.words} ${block.words}`), () => drug(block, side))))));
}

function drug(block, side) {
  const drugs = link.words.drugs.map(({ key, words }) => {
    const given = link.state.anaesthetics.find((one) => one.drug === key);
    return html("button", { class: "line", on: () => volume(block, side, key, words) },
      html("b", {}, capital(words)), html("span", {}, `${given.percent} %: ${so_far(given)}`));
  });
  open(`${capital(side.words)} ${block.words}: which drug?`, ...drugs,
    html("p", { class: "soft" }, "Strengths are those of this clinic's solutions. The ceiling is for checking only: the licensed vet decides the dose."));
}

function volume(block, side, key, words) {
  const given = link.state.anaesthetics.find((one) => one.drug === key);
  const title = `${capital(side.words)} ${block.words}, ${words} ${given.percent} %: how many ml?`;
  const done = (hundredths) => send("mark", { block: { block: block.key, side: side.key, drug: key, volume_ml_hundredths: hundredths } });
  // Not refused here: the program asks, and the vet answers.
  const over = (hundredths) => given.left_ml !== null && hundredths > Math.round(Number(given.left_ml) * 100);
  open(title, html("p", { class: "told" }, capital(so_far(given))),
    grid("figures volumes", ...link.words.volumes_ml_hundredths.map((hundredths) => html("button", { on: () => done(hundredths) },
      ml(hundredths), over(hundredths) ? html("small", { class: "alarm" }, "▲ over") : null))),
    grid("", button("Other volume…", () => figures(title, "ml", link.words.volume_ml_hundredths_max, done))),
    html("p", { class: "soft" }, "For checking only: the licensed vet decides the dose."));
}

/// A number with up to two places, figure by figure.
function figures(title, unit, hundredthsMax, then) {
  let text = "";
  const shown = html("p", { class: "typed", "aria-live": "polite" });
  const trouble = html("p", { role: "alert", class: "trouble" });
  const show = () => { shown.textContent = `${text || "–"} ${unit}`; trouble.textContent = ""; };
  const type = (figure) => { if (/^\d{0,2}(\.\d{0,2})?$/.test(text + figure)) text += figure; show(); };
  const done = () => {
    const hundredths = Math.round(Number(text) * 100);
    if (!(hundredths > 0 && hundredths <= hundredthsMax)) {
      trouble.textContent = `0.01 to ${ml(hundredthsMax)} ${unit}`;
      return;
    }
    then(hundredths);
  };
  show();
  open(title, shown, trouble,
    grid("figures", ...["1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "."].map((figure) => button(figure, () => type(figure))),
      html("button", { "aria-label": "Delete the last figure", on: () => { text = text.slice(0, -1); show(); } }, "⌫")),
    grid("", button("Enter", done, "yes")));
}

function medicine() {
  const other = html("input", { id: "medicine-other", maxlength: "120", autocomplete: "off" });
  const trouble = html("p", { role: "alert", class: "trouble" });
  open("Medicine given", grid("", ...link.words.medicines.map(({ key, words }) => button(capital(words), () => send("mark", { medicine: key })))),
    html("div", { class: "field" }, html("label", { for: "medicine-other" }, "Other, as written on the bottle"), other), trouble,
    grid("", button("Enter the other", () => {
      if (other.value.trim()) send("mark", { medicine: other.value });
      else trouble.textContent = "Type its name first";
    }, "yes")),
    html("p", { class: "soft" }, "Kept as entered: no dose is checked or worked out."));
}

function swabs() {
  open("How many swabs?", grid("figures", ...Array.from({ length: 21 }, (_, count) => button(String(count), () => send("mark", { swabs: count })))));
}

function temperature() {
  const degrees = Array.from({ length: 10 }, (_, at) => 32 + at);
  open("Temperature in °C", grid("figures", ...degrees.map((whole) => button(`${whole}.`, () =>
    open(`${whole}. what?`, grid("figures", ...Array.from({ length: 10 }, (_, tenth) =>
      button(`${whole}.${tenth}`, () => send("mark", { celsius_tenths: whole * 10 + tenth })))))))));
}

// ---- the mouth

export function mouth() {
  const kinds = link.words.kinds;
  const bite = kinds.filter((kind) => kind.reach === "mouth");
  open("Mouth",
    section("Bite and lining"),
    grid("many", ...bite.flatMap((kind) => kind.choices.map((choice) =>
      button(kind.choices.length === 1 ? capital(kind.title) : `${capital(kind.title)}: ${choice.words}`,
        () => finding(kind, null, choice.value), now(kind, choice.value) ? "now" : "")))),
    section("Away from the teeth"),
    grid("many", ...kinds.filter((kind) => kind.has_areas).map((kind) => button(`${capital(kind.title)}…`, () => area(kind)))),
    ...entered(link.state.visit.mouth));
}

const now = (kind, value) => link.state.visit.mouth.some((one) => one.kind === kind.kind && JSON.stringify(one.value) === JSON.stringify(value));

const finding = (kind, area, value) => send("finding", { tooth: null, kind: kind.kind, site: null, entrance: null, area, value });

function area(kind) {
  open(`${capital(kind.title)}: where?`, grid("", ...link.words.areas.map((place) =>
    button(capital(place.words), () => side(kind, place)))));
}

function side(kind, place) {
  const go = (key, words) => {
    const at = { area: place.key, side: key };
    if (kind.choices.length === 1) finding(kind, at, kind.choices[0].value);
    else size(kind, at, words);
  };
  open(`${capital(kind.title)}, ${place.words}: which side?`, grid("",
    ...link.words.sides.map((side) => button(capital(side.words), () => go(side.key, `${side.words} ${place.words}`))),
    button("Middle, or not said", () => go(null, place.words))));
}

function size(kind, at, words) {
  open(`${capital(kind.title)}, ${words}: size in mm`, grid("figures", ...kind.choices.map((choice) =>
    button(choice.words, () => finding(kind, at, choice.value)))));
}
