// Patient data, notes, earlier visits, and the comparison with one of them.

import * as draft from "./draft.js";
import { link, look, press } from "./link.js";
import { language, t } from "./messages.js";
import { actions } from "./after.js";
import { close, grid, open, say, section, sure } from "./sheet.js";
import { html } from "./tooth.js";

export const day = (ms) => new Date(ms).toLocaleDateString(language === "en" ? "en-GB" : language, { day: "numeric", month: "short", year: "numeric" });

/// The form of a new visit, or of the patient at hand. What is typed is kept until it is saved or cleared.
export function form(visit) {
  const known = visit ? visit.patient : {};
  const name = visit ? "patient-" + visit.visit : "patient";
  const field = (id, words, value, more = {}) => html("div", { class: "field" },
    html("label", { for: id }, words), html("input", { id, name: id, value: value ?? "", maxlength: "120", autocomplete: "off", ...more }));
  const select = (id, words, choices, value) => html("div", { class: "field" }, html("label", { for: id }, words),
    html("select", { id, name: id }, ...choices.map(([key, text]) => html("option", { value: key, selected: key === (value ?? "") }, text))));
  const results = [["", t("not-known")], ["true", t("test-positive")], ["false", t("test-negative")]];
  const trouble = html("p", { role: "alert", class: "trouble" });
  const node = html("form", { class: "patient", novalidate: true },
    field("name", t("name"), known.name, { required: true, "data-first": true }),
    html("fieldset", {}, html("legend", {}, t("species")), ...["dog", "cat"].map((species) =>
      html("label", { class: "pick glove" }, html("input", { type: "radio", name: "species", value: species, checked: known.species === species }), html("span", {}, t(species))))),
    field("weight", t("weight-kg"), known.weight_g ? String(known.weight_g / 1000) : "", { inputmode: "decimal" }),
    html("label", { class: "pick wide" }, html("input", { type: "checkbox", id: "weight-is-right", name: "weight-is-right" }), html("span", {}, t("weight-is-right"))),
    select("sex", t("sex"), [["", t("not-known")], ...link.words.sexes.map(({ key, words }) => [key, words])], known.sex),
    field("breed", t("breed"), known.breed), field("born", t("born"), known.born),
    select("felv", t("felv"), results, known.felv?.toString()), select("fiv", t("fiv"), results, known.fiv?.toString()),
    field("id", t("clinic-number"), known.id), field("microchip", t("microchip"), known.microchip, { inputmode: "numeric" }), field("owner", t("owner"), known.owner),
    visit ? null : field("vet", t("vet"), ""), visit ? null : field("nurse", t("nurse"), ""),
    html("label", { class: "pick wide" }, html("input", { type: "checkbox", id: "invented", name: "invented", checked: Boolean(known.invented) }), html("span", {}, t("invented-data"))),
    trouble,
    html("button", { type: "submit", class: "yes wide glove" }, visit ? t("save") : t("open-the-visit")),
    html("button", { type: "button", class: "wide", on: () => { draft.drop(name); form(visit); } }, t("clear-form")));
  node.addEventListener("submit", async (event) => {
    event.preventDefault();
    trouble.textContent = "";
    const data = new FormData(node);
    const text = (key) => (data.get(key) ?? "").trim() || null;
    const weight = text("weight");
    const weight_g = weight === null ? null : Math.round(Number(weight.replace(",", ".")) * 1000);
    const test = (key) => ({ true: true, false: false })[text(key)] ?? null;
    const wrong = (words, id) => { trouble.textContent = words; node.querySelector(id)?.focus(); };
    if (!text("name")) return wrong(t("name-missing"), "#name");
    if (!data.get("species")) return wrong(t("species-missing"), "[name=species]");
    if (weight_g !== null && !(weight_g > 0)) return wrong(t("weight-wrong", { weight }), "#weight");
    const patient = {
      id: text("id"), microchip: text("microchip"), name: text("name"), species: data.get("species"), breed: text("breed"), sex: text("sex"),
      born: text("born"), weight_g, weight_is_right: data.has("weight-is-right"), felv: test("felv"), fiv: test("fiv"), owner: text("owner"), invented: data.has("invented"),
    };
    const done = visit ? await press("patient", patient, patient.name) : await press("open_visit", { patient, vet: text("vet"), nurse: text("nurse") }, patient.name);
    if (done) { draft.drop(name); close(); }
  });
  open(visit ? t("patient") : t("new-patient"), node);
  if (draft.keep(name, node)) say(t("draft-back"));
}

/// A note, to the tooth or to the animal.
export function note(tooth) {
  let of = tooth;
  const text = html("textarea", { id: "note-text", name: "text", rows: "4", maxlength: "2000", "data-first": true });
  const node = html("div", { class: "hits" }, html("label", { for: "note-text" }, t("note-text")), text);
  const choices = [[tooth, tooth ? t("note-to-tooth", { tooth }) : null], [null, t("note-to-animal")]].filter(([, words]) => words);
  const keys = choices.map(([to, words]) => html("button", { "aria-pressed": String(to === of), class: "glove", on: (event) => {
    of = to;
    for (const key of keys) key.setAttribute("aria-pressed", String(key === event.currentTarget));
  } }, words));
  open(t("note"), node, choices.length > 1 ? grid("", ...keys) : null,
    grid("", html("button", { class: "yes glove", on: async () => {
      if (!text.value.trim()) return say(t("note-empty"));
      if (await press("note", { tooth: of, text: text.value }, t("note"))) { draft.drop("note"); close(); }
    } }, t("save-note")),
    link.state.has_microphone ? html("button", { on: async () => { if (await press("spoken_note")) close(); } }, t("speak-note")) : null));
  if (draft.keep("note", node)) say(t("draft-back"));
}

/// Search of earlier visits.
export async function visits(onCompare) {
  const input = html("input", { id: "search", type: "text", maxlength: "80", autocomplete: "off", "data-first": true });
  const list = html("div", { class: "hits", "aria-live": "polite" });
  const search = async () => {
    const hits = await look("/api/visits?q=" + encodeURIComponent(input.value));
    if (!hits) return;
    list.replaceChildren(...(hits.length ? hits.map(hit) : [html("p", {}, t("none-found"))]));
  };
  const hit = (line) => html("button", { class: "line", on: () => show(line, onCompare) },
    html("i", { "aria-hidden": "true" }, line.is_finished ? "✓" : "…"),
    [`${day(line.opened_ms)}  ${line.name}`, t(line.species), line.owner, line.id, line.is_finished ? null : t("left-open"),
      line.open_count ? t("count-not-confirmed", { count: line.open_count }) : null].filter(Boolean).join(", ")
    + `${line.is_same_animal ? ` (${t("this-animal")})` : ""}${line.invented ? ` (${t("invented")})` : ""}`);
  let waiting = null;
  input.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(search, 200); });
  open(t("earlier-visits"), html("label", { for: "search" }, t("search-by")), input, list);
  await search();
}

async function show(line, onCompare) {
  const visit = await look("/api/visits/" + line.visit);
  if (!visit) return;
  const now = link.state.visit;
  const charted = visit.teeth.filter((tooth) => tooth.is_charted && !(tooth.is_normal && tooth.values.length === 1 && !tooth.decision));
  const can = (words, on, look = "") => html("button", { class: look, on }, words);
  open(`${visit.patient.name}, ${day(visit.opened_ms)}`,
    grid("",
      now && now.visit !== visit.visit && now.patient.species === visit.patient.species
        ? can(t("compare-with-this"), () => { onCompare(visit); compare(visit, now); }) : null,
      !now?.is_open && visit.is_open
        ? can(t("go-on-with-this"), async () => { if (await press("go_on", { visit: visit.visit }, t("go-on-with-this"))) close(); }, "yes") : null),
    ...actions(visit),
    charted.length ? table([t("tooth"), t("charted"), t("decision")], charted.map((tooth) => [tooth.tooth, words(tooth) + open_words(tooth), tooth.decision?.words ?? ""]))
      : html("p", {}, t("nothing-abnormal-charted")),
    ...list(t("mouth-word"), visit.mouth.map(told)), ...list(t("procedure"), visit.procedures.map(told)),
    ...list(t("notes"), visit.notes.map((note) => told({ ...note, words: `${note.tooth ? note.tooth + ": " : ""}${note.text || t("spoken-note")}` }))),
    ...list(t("addenda"), visit.addenda.map((one) => `${day(one.at_ms)}: ${one.text}`)),
    ...list(t("reopenings"), visit.reopenings.map((one) => `${day(one.at_ms)}: ${one.text}`)));
}

const told = (given) => given.words + (given.is_confirmed ? "" : ` (${t("not-confirmed")})`);
const open_words = (tooth) => (tooth.unconfirmed_count ? ` (${t("count-not-confirmed", { count: tooth.unconfirmed_count })})` : "");
const list = (title, lines) => (lines.length ? [section(title), html("ul", {}, ...lines.map((line) => html("li", {}, line)))] : []);

/// Two visits tooth by tooth: only what differs.
export function compare(before, now) {
  const rows = [];
  let onlyToday = 0;
  for (const tooth of now.teeth) {
    const was = before.teeth.find((one) => one.tooth === tooth.tooth);
    if (!was?.is_charted) {
      onlyToday += tooth.is_charted ? 1 : 0;
      continue;
    }
    const [then, here] = [words(was), words(tooth)];
    if (then !== here) rows.push([tooth.tooth, (then || "–") + open_words(was), (here || t("not-charted-yet")) + open_words(tooth), deeper(was, tooth)]);
  }
  open(t("compare-title", { name: now.patient.name, day: day(before.opened_ms) }),
    rows.length ? table([t("tooth"), day(before.opened_ms), t("today"), t("change")], rows) : html("p", {}, t("no-difference")),
    onlyToday ? html("p", {}, t("only-today", { count: onlyToday })) : "");
}

function deeper(was, now) {
  const depth = (tooth) => Math.max(-1, ...tooth.values.filter((value) => value.kind === "depth").map((value) => value.value.mm));
  const [a, b] = [depth(was), depth(now)];
  if (a < 0 || b < 0 || a === b) return "";
  return b > a ? "▲ " + t("deepest-more", { mm: b - a }) : "▼ " + t("deepest-less", { mm: a - b });
}

export function words(tooth) {
  const depths = link.words.sites.map(({ key }) => tooth.values.find((value) => value.kind === "depth" && value.site === key)?.value.mm ?? "–");
  const parts = depths.some((mm) => mm !== "–") ? [depths.slice(0, 3).join(" ") + " / " + depths.slice(3).join(" ")] : [];
  for (const value of tooth.values) if (value.kind !== "depth") parts.push(value.words);
  return parts.join(", ");
}

export function table(heads, rows) {
  return html("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": t("table") },
    html("table", {}, html("thead", {}, html("tr", {}, ...heads.map((head) => html("th", { scope: "col" }, head)))),
      html("tbody", {}, ...rows.map((row) => html("tr", {}, ...row.map((text, at) => (at ? html("td", {}, String(text)) : html("th", { scope: "row" }, String(text)))))))));
}

export function finish() {
  sure(t("finish-sure"), async () => { if (await press("finish", undefined, t("finish-the-visit"))) close(); });
}
