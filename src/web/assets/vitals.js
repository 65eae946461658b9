// The patient under anaesthetic: the strip with the last vital signs, and the sheet that takes them by touch.
// A value is never shown without its age.

import { link } from "./link.js";
import { button, entered, grid, open, section, send } from "./sheet.js";
import { html } from "./tooth.js";

const ARROWS = { up: "▲", down: "▼", same: "=" };
const STANDS = { inside: "", off: "", low: "low", high: "high", low_again: "low twice", high_again: "high twice" };
const ago = (ms) => {
  const minutes = Math.max(0, Math.floor((Date.now() - ms) / 60000));
  return minutes < 1 ? "now" : `${minutes} min`;
};
const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
const capital = (words) => words[0].toUpperCase() + words.slice(1);

/// Shows the strip; hidden where nothing of an anaesthetic is recorded.
export function strip(node, state) {
  const watch = state?.strip;
  node.hidden = !watch;
  if (!watch) return;
  const isDue = watch.from_ms !== null && watch.over_ms === null && watch.interval_minutes > 0
    && Date.now() - (watch.read_ms ?? watch.from_ms) > watch.interval_minutes * 60000;
  // Made anew only where something changed, so that the focus stays where it is.
  const shown = JSON.stringify([watch, isDue, watch.signs.map((sign) => ago(sign.at_ms))]);
  if (node.dataset.shown === shown) return;
  node.dataset.shown = shown;
  const signs = watch.signs.map((sign) => {
    const stand = STANDS[sign.stand];
    return html("li", { class: ["sign", stand ? "alarm" : "", sign.stand === "off" ? "off" : ""].join(" ") },
      html("span", { class: "what" }, capital(sign.title)),
      html("b", {}, `${sign.arrow ? ARROWS[sign.arrow] + " " : ""}${sign.value}`),
      html("span", { class: "more" }, [sign.unit, stand && `⚠ ${stand}`, sign.is_machine_read ? "monitor" : sign.is_confirmed ? "" : "?",
        ago(sign.at_ms)].filter(Boolean).join(" · ")));
  });
  const crises = watch.course.filter((line) => line.is_emergency).map((line) =>
    html("li", { class: "sign alarm" }, html("b", {}, `⚠ ${line.text}`), html("span", { class: "more" }, `${clock(line.at_ms)}`)));
  node.replaceChildren(
    html("button", { class: isDue ? "tile due" : "tile", on: sheet },
      html("b", {}, isDue ? "⏱ Vital signs" : "Vital signs"),
      html("small", {}, watch.read_ms === null ? "none yet" : ago(watch.read_ms))),
    html("ul", { class: "signs" }, ...crises, ...signs));
}

// ---- by touch

const NUMBERS = [
  ["heart_rate", "Heart rate", "/min"], ["breathing_rate", "Breathing rate", "/min"], ["oxygen_saturation", "Saturation", "%"],
  ["end_tidal_co2", "End-tidal CO2", "mmHg"], ["temperature", "Temperature", "°C"], ["isoflurane", "Isoflurane", "%"],
  ["sevoflurane", "Sevoflurane", "%"], ["oxygen_flow", "Oxygen", "L/min"], ["fluid_rate", "Fluids", "mL/h"],
];
const STEPS = [
  ["premedicated", "Premedicated"], ["induced", "Induced"], ["cuff_checked", "Cuff checked"], ["turned", "Turned"],
  ["vaporiser_off", "Vaporiser off"], ["swallowing", "Swallowing"], ["extubated", "Extubated"], ["head_up", "Head up"],
  ["sternal", "Sternal"], ["standing", "Standing"], ["handed_over", "Handed over"],
];
const CRISES = [["no_pulse", "No pulse"], ["not_breathing", "Not breathing"], ["cardiac_arrest", "Cardiac arrest"],
  ["resuscitation_started", "Resuscitation started"], ["pulse_back", "Pulse back"]];

export function sheet() {
  const watch = link.state.strip;
  open("Anaesthetic",
    section("Emergency"), grid("many", ...CRISES.map(([key, words]) => button(words, () => send("watch", { crisis: key })))),
    section("Vital signs"), grid("many",
      ...NUMBERS.map(([sign, words, unit]) => button(`${words}…`, () => figure(words, unit, (value) => send("watch", { vital: { sign, value } })))),
      button("Pressure…", () => pressure())),
    section("Course"), grid("many", button("Tube in…", () => figure("Tube, size", "mm", (size_mm) => send("watch", { tube: { size_mm } }))),
      ...STEPS.map(([key, words]) => button(words, () => send("watch", { course: key })))),
    section("Drugs"), html("p", { class: "soft" }, "Drugs are said, or typed: name, amount and unit. The licensed vet decides the dose."),
    drugForm(),
    ...(watch?.totals?.length ? [html("p", { class: "told" }, `In all: ${watch.totals.join("; ")}`)] : []),
    ...(watch?.unwitnessed ? [html("p", { class: "trouble" }, `⚠ ${watch.unwitnessed} controlled without a witness`),
      grid("sides", button("Witness: vet", () => send("watch", { witness: "vet" })), button("Witness: nurse", () => send("watch", { witness: "nurse" })))] : []),
    ...entered([...(watch?.drugs ?? []), ...(watch?.course ?? [])].sort((a, b) => b.at_ms - a.at_ms)
      .map((line) => ({ ...line, words: `${clock(line.at_ms)}  ${line.text}` }))));
}

function field(label, attributes) {
  const input = html("input", attributes);
  return [html("label", {}, label, input), input];
}

/// One figure; the program asks where it is unusual.
function figure(title, unit, then) {
  const [label, input] = field(`${title}, ${unit}`, { inputmode: "decimal", maxlength: 6 });
  const trouble = html("p", { role: "alert", class: "trouble" });
  const enter = () => {
    const value = Number(input.value.trim().replace(",", "."));
    if (!input.value.trim() || !Number.isFinite(value) || value < 0) { trouble.textContent = `Write a number in ${unit}.`; return; }
    then(value);
  };
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); enter(); } });
  open(title, label, trouble, grid("", button("Enter", enter)));
  input.focus();
}

function pressure() {
  const fields = ["systolic", "diastolic", "mean"].map((part) => [part, ...field(`${capital(part)}, mmHg`, { inputmode: "numeric", maxlength: 3 })]);
  const trouble = html("p", { role: "alert", class: "trouble" });
  const enter = (method) => {
    const parts = { sign: "pressure", method };
    for (const [part, , input] of fields) {
      if (!input.value.trim()) continue;
      const value = Number(input.value.trim());
      if (!Number.isInteger(value) || value < 0 || value > 400) { trouble.textContent = "Write whole mmHg."; return; }
      parts[part] = value;
    }
    send("watch", { vital: parts });
  };
  open("Pressure", ...fields.map(([, label]) => label), trouble,
    grid("sides", button("Oscillometric", () => enter("oscillometric")), button("Doppler", () => enter("doppler")), button("Direct", () => enter("direct"))));
}

function drugForm() {
  const [nameLabel, name] = field("Drug", { maxlength: 40 });
  const [amountLabel, amount] = field("Amount", { inputmode: "decimal", maxlength: 8 });
  const [strengthLabel, strength] = field("Strength, mg/mL (where there are several)", { inputmode: "decimal", maxlength: 8 });
  const trouble = html("p", { role: "alert", class: "trouble" });
  const number = (input) => Number(input.value.trim().replace(",", "."));
  const give = (unit) => {
    if (!name.value.trim() || !(number(amount) > 0)) { trouble.textContent = "Name and amount, please."; return; }
    const given = { drug: name.value.trim().toLowerCase(), [unit]: number(amount) };
    if (strength.value.trim()) given.strength_mg_per_ml = number(strength);
    send("watch", { drug: given });
  };
  return html("div", { class: "form" }, nameLabel, amountLabel, strengthLabel, trouble,
    grid("sides", button("millilitres", () => give("volume_ml")), button("milligrams", () => give("dose_mg"))));
}
