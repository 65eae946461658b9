// Two sheets of what belongs to no single tooth: the procedure (times, blocks, medicines, films, counts) and the mouth
// (bite, findings away from the teeth). All choices come from the program.

import * as drugs from "./drugs.js";
import { link, press } from "./link.js";
import { t } from "./messages.js";
import { button, capital, entered, grid, living, open, pick as pickTooth, section, send } from "./sheet.js";
import { html } from "./tooth.js";

const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
const ml = (hundredths) => String(hundredths / 100);

// ---- the procedure

/// Stays open, so that several things are marked in a row.
export function procedure() {
  living(t("procedure"), (state) => {
    const { visit, anaesthetics } = state;
    if (!visit) return [];
    const words = link.words;
    // What was marked already says when.
    const mark = ({ key, words }) => {
      const last = visit.procedures.findLast((done) => done.words === words);
      return html("button", { class: `glove ${last ? "marked" : ""}`, "data-key": `mark-${key}`, on: () => press("mark", key, words) },
        capital(words), last ? html("small", {}, `✓ ${clock(last.at_ms)}`) : null);
    };
    return [
      section(t("times")), grid("pairs", ...words.times.map(mark)),
      section(t("given-and-done")),
      grid("many", button(t("nerve-block") + "…", block), button(t("medicine-given") + "…", drugs.form), ...words.mouth_works.map(mark),
        button(t("swabs-counted") + "…", swabs), button(t("temperature") + "…", temperature)),
      section(t("surgery-and-home")),
      grid("many", button(t("complication") + "…", complication), button(t("done-about-it") + "…", remedy), button(t("owner-told") + "…", told),
        button(t("owner-asked") + "…", asked), button(t("sample-taken") + "…", sample), button(t("samples-sent") + "…", sent),
        button(t("home-medicine") + "…", homeMedicine), button(t("home-care") + "…", homeCare), button(t("second-visit") + "…", secondVisit)),
      ...ceilings(anaesthetics.filter((drug) => Number(drug.given_ml) > 0)),
      ...entered([...visit.procedures].reverse().map((done) => ({ ...done, words: `${clock(done.at_ms)}  ${done.words}` }))),
    ];
  });
}

function ceilings(drugs) {
  if (!drugs.length) return [];
  return [...drugs.map((drug) => html("p", { class: "told" }, t("drug-in-all", { drug: capital(drugWords(drug.drug)), sum: so_far(drug) }))),
    html("p", { class: "soft" }, t("for-checking"))];
}

const drugWords = (key) => link.words.drugs.find((drug) => drug.key === key).words;

function so_far(drug) {
  const given = t("drug-given", { ml: drug.given_ml, mg: drug.given_mg });
  return drug.ceiling_mg === null ? t("drug-no-weight", { given })
    : t("drug-ceiling", { given, ceiling: drug.ceiling_mg, left: drug.left_ml, percent: drug.percent });
}

function block() {
  const { blocks, sides } = link.words;
  open(t("block-which"), grid("sides", ...blocks.flatMap((block) => sides.map((side) =>
    button(capital(t("block-name", { side: side.words, block: block.words })), () => drug(block, side))))));
}

function drug(block, side) {
  const drugs = link.words.drugs.map(({ key, words }) => {
    const given = link.state.anaesthetics.find((one) => one.drug === key);
    return html("button", { class: "line glove", on: () => volume(block, side, key, words) },
      html("b", {}, capital(words)), html("span", {}, `${given.percent} %: ${so_far(given)}`));
  });
  open(t("drug-which", { block: capital(t("block-name", { side: side.words, block: block.words })) }), ...drugs,
    html("p", { class: "soft" }, t("strengths-are")));
}

function volume(block, side, key, words) {
  const given = link.state.anaesthetics.find((one) => one.drug === key);
  const title = t("volume-which", { block: capital(t("block-name", { side: side.words, block: block.words })), drug: words, percent: given.percent });
  const done = (hundredths) => send("mark", { block: { block: block.key, side: side.key, drug: key, volume_ml_hundredths: hundredths } }, title);
  // Not refused here: the program asks, and the vet answers.
  const over = (hundredths) => given.left_ml !== null && hundredths > Math.round(Number(given.left_ml) * 100);
  open(title, html("p", { class: "told" }, capital(so_far(given))),
    grid("figures volumes", ...link.words.volumes_ml_hundredths.map((hundredths) => html("button", { on: () => done(hundredths) },
      ml(hundredths), over(hundredths) ? html("small", { class: "alarm" }, "▲ " + t("over")) : null))),
    grid("", button(t("other-volume") + "…", () => figures(title, "ml", link.words.volume_ml_hundredths_max, done))),
    html("p", { class: "soft" }, t("for-checking")));
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
      trouble.textContent = t("from-to", { from: "0.01", to: ml(hundredthsMax), unit });
      return;
    }
    then(hundredths);
  };
  show();
  open(title, shown, trouble,
    grid("figures", ...["1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "."].map((figure) => button(figure, () => type(figure))),
      html("button", { "aria-label": t("delete-figure"), on: () => { text = text.slice(0, -1); show(); } }, "⌫")),
    grid("", button(t("enter"), done, "yes glove")));
}

// ---- surgery, and going home

/// Of the tooth at hand, where there is one: its number stands in the title.
const here = () => link.state.visit.tooth;
const titled = (key) => (here() === null ? t(key) : `${here()}: ${t(key)}`);
const surgery = (what, words) => send("surgery", { tooth: here(), what }, words);
const pick = (title, choices, then, look = "many") => open(title, grid(look, ...choices.map(({ key, words }) => button(capital(words), () => then(key, words)))));

function complication() {
  pick(titled("complication"), link.words.complications, (what, words) => surgery({ complication: { what, size_mm: null } }, words));
}

function remedy() {
  pick(t("done-about-it"), link.words.remedies, (how, words) => surgery({ remedy: how }, words));
}

const by = (title, then) => pick(title, [...link.words.ways, { key: null, words: t("way-not-said") }], then);

function told() {
  by(t("owner-told"), (way, words) => surgery({ owner_told: { way } }, words));
}

function asked() {
  pick(titled("owner-asked"), link.words.agreed, (about, words) =>
    open(t("owner-answer", { words }), grid("", ...[[true, t("agreed")], [false, t("declined")]].map(([isAgreed, answer]) => button(capital(answer), () =>
      by(`${capital(words)}: ${answer}`, (way) => surgery({ owner_asked: { about, is_agreed: isAgreed, way } }, words)))))));
}

function sample() {
  pick(titled("sample-taken"), [...link.words.sample_kinds, { key: null, words: t("way-not-said") }], (kind, words) =>
    open(t("where", { what: t("sample-taken") }), grid("many",
      ...(here() === null ? [] : [button(t("at-tooth", { tooth: here() }), () => surgery({ sample: { kind, area: null } }, words))]),
      ...places((area) => surgery({ sample: { kind, area } }, words)))));
}

/// Parts of the mouth with their sides.
function places(then) {
  const { areas, sides } = link.words;
  return areas.map((place) => button(`${capital(place.words)}…`, () => open(t("which-side", { what: capital(place.words) }), grid("",
    ...[...sides, { key: null, words: t("middle-or-no-side") }].map((side) =>
      button(capital(side.words), () => then({ area: place.key, side: side.key })))))));
}

function sent() {
  pick(t("result-due"), [...link.words.days, { key: null, words: t("way-not-said") }], (days, words) => surgery({ samples_sent: { due_days: days } }, words));
}

function homeCare() {
  pick(t("home-care"), link.words.home_cares, (what, care) =>
    pick(t("for-how-long", { what: capital(care) }), link.words.days, (days, words) => surgery({ home_care: { what, days } }, `${care} ${words}`)));
}

function secondVisit() {
  pick(t("second-visit"), link.words.days, (days, words) => surgery({ second_visit: { days } }, words));
}

function homeMedicine() {
  const { medicines, home_units: units, days } = link.words;
  const often = [1, 2, 3].map((count) => ({ key: count, words: t("times-a-day", { count }) }));
  pick(t("home-medicine"), medicines, (drug) => pick(capital(drug), units, (unit, unitWords) =>
    figures(`${capital(drug)}, ${unitWords}`, unitWords, 9999, (hundredths) => pick(capital(drug), often, (times) =>
      pick(t("for-how-long", { what: capital(drug) }), days, (count, words) =>
        send("home_medicine", { drug, amount_hundredths: hundredths, unit, times_a_day: times, days: count }, `${drug} ${words}`))))), "long");
}

function swabs() {
  open(t("swabs-how-many"), grid("figures", ...Array.from({ length: 21 }, (_, count) => button(String(count), () => send("mark", { swabs: count }, t("swabs-counted"))))));
}

function temperature() {
  const degrees = Array.from({ length: 10 }, (_, at) => 32 + at);
  open(t("temperature-c"), grid("figures", ...degrees.map((whole) => button(`${whole}.`, () =>
    open(t("temperature-then", { whole }), grid("figures", ...Array.from({ length: 10 }, (_, tenth) =>
      button(`${whole}.${tenth}`, () => send("mark", { celsius_tenths: whole * 10 + tenth }, t("temperature"))))))))));
}

// ---- the mouth

export function mouth() {
  const kinds = link.words.kinds;
  const bite = kinds.filter((kind) => kind.reach === "mouth");
  open(t("mouth-word"),
    section(t("bite-and-lining")),
    grid("many", ...bite.flatMap((kind) => kind.choices.map((choice) =>
      button(kind.choices.length === 1 ? capital(kind.title) : `${capital(kind.title)}: ${choice.words}`,
        () => finding(kind, null, choice.value), now(kind, choice.value) ? "now" : "")))),
    section(t("away-from-teeth")),
    grid("many", ...kinds.filter((kind) => kind.has_areas && !kind.is_of_lesions).map((kind) => button(`${capital(kind.title)}…`, () => area(kind)))),
    section(t("decided-for-mouth")),
    grid("many", ...lesions().map((lesion) => button(`${capital(lesion.words)}: ${t("how-it-looks")}…`, () => look(lesion))),
      button(t("decide-for-mouth") + "…", decide), button(t("decide-for-group") + "…", group)),
    ...entered(link.state.visit.mouth));
}

/// Lumps and sores away from the teeth: each can be described.
const LESIONS = ["mass", "ulcer", "swelling", "laceration"];
const lesions = () => link.state.visit.mouth.filter((one) => LESIONS.includes(one.kind) && one.area !== null);

function look(lesion) {
  const at = { area: lesion.area, side: lesion.side };
  const kinds = link.words.kinds.filter((kind) => kind.is_of_lesions);
  open(capital(lesion.words), grid("many", ...kinds.map((kind) => button(`${capital(kind.title)}…`, () =>
    open(`${capital(lesion.words)}: ${kind.title}`, grid(kind.choices.length > 9 ? "figures" : "", ...kind.choices.map((choice) =>
      button(choice.words, () => finding(kind, at, choice.value), now(kind, choice.value) ? "now" : ""))))))));
}

/// Why, where somebody says it.
const because = (title, then) => pick(t("decision-because", { tooth: t("decision"), words: title }), [{ key: null, words: t("no-reason") }, ...link.words.reasons], then);

function decide() {
  const then = (area, words) => pick(words, link.words.mouth_choices, (choice, what) =>
    because(what, (reason) => send("mouth_decision", { area, choice, reason }, what)));
  open(t("decide-for-mouth"), grid("many", button(t("whole-mouth"), () => then(null, t("whole-mouth"))),
    ...places((area) => then(area, t("decide-for-mouth")))));
}

// ---- a group of teeth

/// The quadrants of each part; the animal's own sides.
const PARTS = [["all-teeth", [1, 2, 3, 4]], ["upper-jaw", [1, 2]], ["lower-jaw", [3, 4]], ["quadrant-1", [1]], ["quadrant-2", [2]], ["quadrant-3", [3]], ["quadrant-4", [4]]];

function group() {
  const choices = PARTS.map(([key, quadrants]) => button(`${capital(t(key))}…`, () =>
    pick(capital(t(key)), link.words.classes, (name, words) => forGroup({ class: { quadrants, class: name } }, `${capital(t(key))}: ${words}`))));
  open(t("decide-for-group"), grid("", ...choices, button(t("from-tooth-to-tooth") + "…", () => {
    const teeth = link.state.visit.teeth.map((tooth) => tooth.tooth);
    pickTooth(teeth, (from) => pickTooth(teeth, (to) => forGroup({ range: { from, to } }, `${from} – ${to}`)));
  })), html("p", { class: "soft" }, t("group-what")));
}

function forGroup(teeth, words) {
  pick(words, link.words.group_decisions, ({ decision, treatment }, what) =>
    because(`${words}, ${what}`, (reason) => send("group_decision", { teeth, decision, months: null, treatment: treatment ?? null, reason }, `${words}, ${what}`)));
}

const now = (kind, value) => link.state.visit.mouth.some((one) => one.kind === kind.kind && JSON.stringify(one.value) === JSON.stringify(value));

const finding = (kind, area, value) => send("finding", { tooth: null, kind: kind.kind, site: null, entrance: null, area, value }, kind.title);

function area(kind) {
  open(t("where", { what: capital(kind.title) }), grid("", ...link.words.areas.map((place) =>
    button(capital(place.words), () => side(kind, place)))));
}

function side(kind, place) {
  const go = (key, words) => {
    const at = { area: place.key, side: key };
    if (kind.choices.length === 1) finding(kind, at, kind.choices[0].value);
    else size(kind, at, words);
  };
  open(t("which-side", { what: `${capital(kind.title)}, ${place.words}` }), grid("",
    ...link.words.sides.map((side) => button(capital(side.words), () => go(side.key, `${side.words} ${place.words}`))),
    button(t("middle-or-no-side"), () => go(null, place.words))));
}

function size(kind, at, words) {
  open(t("size-mm", { what: `${capital(kind.title)}, ${words}` }), grid("figures", ...kind.choices.map((choice) =>
    button(choice.words, () => finding(kind, at, choice.value)))));
}
