// The patient under anaesthetic: the strip with the last vital signs, and the sheet that takes them by touch.
// A value is never shown without its age. Names of signs, steps and emergencies come from the program.

import * as drugs from "./drugs.js";
import { link } from "./link.js";
import { t } from "./messages.js";
import { button, capital, entered, grid, open, section, send } from "./sheet.js";
import { html } from "./tooth.js";

const ARROWS = { up: "▲", down: "▼", same: "=" };
const IS_ALARM = ["low", "high", "low_again", "high_again"];
const ago = (ms) => {
  const minutes = Math.max(0, Math.floor((Date.now() - ms) / 60000));
  return minutes < 1 ? t("just-now") : `${minutes} min`;
};
const clock = (ms) => new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

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
    const isAlarm = IS_ALARM.includes(sign.stand);
    return html("li", { class: ["sign", isAlarm ? "alarm" : "", sign.stand === "off" ? "off" : ""].join(" ") },
      html("span", { class: "what" }, capital(sign.title)),
      html("b", {}, `${sign.arrow ? ARROWS[sign.arrow] + " " : ""}${sign.value}`),
      html("span", { class: "more" }, [sign.unit, isAlarm && `⚠ ${t("stands-" + sign.stand.replace("_", "-"))}`, sign.is_machine_read ? t("machine-read") : sign.is_confirmed ? "" : "?",
        ago(sign.at_ms)].filter(Boolean).join(" · ")));
  });
  const crises = watch.course.filter((line) => line.is_emergency).map((line) =>
    html("li", { class: "sign alarm" }, html("b", {}, `⚠ ${line.text}`), html("span", { class: "more" }, `${clock(line.at_ms)}`)));
  node.replaceChildren(
    html("button", { class: isDue ? "tile due" : "tile", on: sheet },
      html("b", {}, (isDue ? "⏱ " : "") + t("vital-signs")),
      html("small", {}, watch.read_ms === null ? t("none-yet") : ago(watch.read_ms))),
    ...(watch.unwitnessed ? [html("button", { class: "tile due", on: drugs.witness }, html("b", {}, "⚠ " + t("witness") + "…"))] : []),
    html("ul", { class: "signs" }, ...crises, ...signs));
}

// ---- by touch

export function sheet() {
  const watch = link.state.strip;
  const words = link.words.watch;
  open(t("anaesthetic"),
    section(t("emergency")), grid("many", ...words.crises.map(({ key, words }) => button(capital(words), () => send("watch", { crisis: key }, words)))),
    section(t("vital-signs")), grid("many", ...words.signs.map((sign) => button(`${capital(sign.words)}…`, () => reading(sign)))),
    section(t("course")), grid("many", button(t("tube-in") + "…", tube), button(t("asa-status") + "…", asa),
      ...words.steps.map(({ key, words }) => button(capital(words), () => send("watch", { course: key }, words)))),
    section(t("drugs")), grid("many", button(t("medicine-given") + "…", drugs.form), button(t("batch") + "…", drugs.batch), button(t("wasted") + "…", drugs.waste)),
    ...(watch?.totals?.length ? [html("p", { class: "told" }, t("in-all", { sums: watch.totals.join("; ") }))] : []),
    ...(watch?.unwitnessed ? [html("p", { class: "trouble" }, "⚠ " + t("unwitnessed", { count: watch.unwitnessed })),
      grid("", button(t("witness") + "…", drugs.witness))] : []),
    ...entered([...(watch?.drugs ?? []), ...(watch?.course ?? [])].sort((a, b) => b.at_ms - a.at_ms)
      .map((line) => ({ ...line, words: `${clock(line.at_ms)}  ${line.text}` }))));
}

function reading(sign) {
  if (sign.has_parts) return pressure();
  if (sign.values.length) {
    return open(capital(sign.words), grid("", ...sign.values.map((word) => button(capital(word), () => send("watch", { vital: { sign: sign.key, word } }, sign.words)))));
  }
  return figure(capital(sign.words), sign.unit, (value) => send("watch", { vital: { sign: sign.key, value } }, sign.words),
    () => send("watch", { vital: { sign: sign.key, not_reading: true } }, sign.words));
}

const tube = () => figure(t("tube-size"), "mm", (size) => send("watch", { tube: { size_mm: size } }, t("tube-in")), null,
  () => send("watch", { tube: { size_mm: null } }, t("tube-in")));

function asa() {
  const classes = link.words.watch.asa;
  open(t("asa-status"), grid("", ...[false, true].flatMap((emergency) => classes.map(({ key, words }) =>
    button(emergency ? `${words} E` : words, () => send("watch", { asa: { class: key, emergency } }, words))))));
}

function field(label, attributes) {
  const input = html("input", attributes);
  return [html("label", {}, label, input), input];
}

/// One figure; the program asks where it is unusual.
function figure(title, unit, then, notReading = null, unsaid = null) {
  const [label, input] = field(`${title}, ${unit}`, { inputmode: "decimal", maxlength: 6, "data-first": true });
  const trouble = html("p", { role: "alert", class: "trouble" });
  const enter = () => {
    const value = Number(input.value.trim().replace(",", "."));
    if (!input.value.trim() || !Number.isFinite(value) || value < 0) { trouble.textContent = t("write-number", { unit }); return; }
    then(value);
  };
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); enter(); } });
  open(title, label, trouble,
    grid("figures", ...["1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "."].map((digit) => button(digit, () => { input.value += digit; })),
      html("button", { "aria-label": t("delete-figure"), on: () => { input.value = input.value.slice(0, -1); } }, "⌫")),
    grid("", button(t("enter"), enter, "yes glove"), notReading ? button(t("not-reading"), notReading) : null, unsaid ? button(t("size-not-said"), unsaid) : null));
}

function pressure() {
  const fields = ["systolic", "diastolic", "mean"].map((part) => [part, ...field(`${t("pressure-" + part)}, mmHg`, { inputmode: "numeric", maxlength: 3 })]);
  const trouble = html("p", { role: "alert", class: "trouble" });
  const enter = (method) => {
    const parts = { sign: "pressure", method };
    for (const [part, , input] of fields) {
      if (!input.value.trim()) continue;
      const value = Number(input.value.trim());
      if (!Number.isInteger(value) || value < 0 || value > 400) { trouble.textContent = t("write-number", { unit: "mmHg" }); return; }
      parts[part] = value;
    }
    send("watch", { vital: parts }, t("vital-signs"));
  };
  open(capital(link.words.watch.signs.find((sign) => sign.has_parts).words), ...fields.map(([, label]) => label), trouble,
    grid("sides", ...link.words.watch.methods.map(({ key, words }) => button(capital(words), () => enter(key)))));
}
