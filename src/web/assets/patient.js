// Patient data, earlier visits, and the comparison with one of them.

import { link, look, press } from "./link.js";
import { close, grid, open, section, sure } from "./sheet.js";
import { html } from "./tooth.js";

export const day = (ms) => new Date(ms).toLocaleDateString("en-GB", { day: "numeric", month: "short", year: "numeric" });

/// The form of a new visit, or of the patient at hand.
export function form(visit) {
  const known = visit ? visit.patient : {};
  const field = (id, words, value, more = {}) => html("div", { class: "field" },
    html("label", { for: id }, words), html("input", { id, name: id, value: value ?? "", maxlength: "120", autocomplete: "off", ...more }));
  const select = (id, words, choices, value) => html("div", { class: "field" }, html("label", { for: id }, words),
    html("select", { id, name: id }, ...choices.map(([key, text]) => html("option", { value: key, selected: key === (value ?? "") }, text))));
  const trouble = html("p", { role: "alert", class: "trouble" });
  const invented = html("input", { type: "checkbox", id: "invented", name: "invented", checked: Boolean(known.invented) });
  const node = html("form", { class: "patient", novalidate: true },
    field("name", "Name", known.name, { required: true }),
    html("fieldset", {}, html("legend", {}, "Species"), ...["dog", "cat"].map((species) =>
      html("label", { class: "pick" }, html("input", { type: "radio", name: "species", value: species, checked: known.species === species }), html("span", {}, species)))),
    field("weight", "Weight in kg", known.weight_g ? String(known.weight_g / 1000) : "", { inputmode: "decimal" }),
    select("sex", "Sex", [["", "not known"], ...link.words.sexes.map(({ key, words }) => [key, words])], known.sex),
    field("breed", "Breed", known.breed), field("born", "Born (2019 or 2019-05-31)", known.born),
    field("id", "Number or chip", known.id), field("owner", "Owner", known.owner),
    visit ? null : field("vet", "Vet", ""), visit ? null : field("nurse", "Nurse", ""),
    html("label", { class: "pick wide" }, invented, html("span", {}, "Practice: invented data, told on every output")),
    trouble,
    html("button", { type: "submit", class: "yes wide" }, visit ? "Save" : "Open the visit"));
  node.addEventListener("submit", async (event) => {
    event.preventDefault();
    const data = new FormData(node);
    const text = (key) => (data.get(key) ?? "").trim() || null;
    const weight = text("weight");
    const weight_g = weight === null ? null : Math.round(Number(weight.replace(",", ".")) * 1000);
    if (!text("name")) return (trouble.textContent = "The name is missing");
    if (!data.get("species")) return (trouble.textContent = "Dog or cat?");
    if (weight_g !== null && !(weight_g > 0)) return (trouble.textContent = `${weight} is no weight in kg`);
    const patient = {
      id: text("id"), name: text("name"), species: data.get("species"), breed: text("breed"), sex: text("sex"),
      born: text("born"), weight_g, owner: text("owner"), invented: invented.checked,
    };
    link.onSheetTrouble = (words) => { trouble.textContent = words; };
    const done = visit ? await press("patient", patient) : await press("open_visit", { patient, vet: text("vet"), nurse: text("nurse") });
    link.onSheetTrouble = null;
    if (done) close();
  });
  open(visit ? "Patient" : "New patient", node);
}

/// Search of earlier visits.
export async function visits(onCompare) {
  const input = html("input", { id: "search", type: "text", maxlength: "80", autocomplete: "off" });
  const list = html("div", { class: "hits", "aria-live": "polite" });
  const search = async () => {
    const hits = await look("/api/visits?q=" + encodeURIComponent(input.value));
    if (!hits) return;
    list.replaceChildren(...(hits.length ? hits.map(hit) : [html("p", {}, "None found")]));
  };
  const hit = (line) => html("button", { class: "line", on: () => show(line, onCompare) },
    html("i", {}, line.is_finished ? "✓" : "…"),
    `${day(line.opened_ms)}  ${line.name}, ${line.species}${line.owner ? ", " + line.owner : ""}${line.id ? ", " + line.id : ""}`
    + `${line.is_finished ? "" : ", left open"}${line.open_count ? `, ${line.open_count} not confirmed` : ""}`
    + `${line.is_same_animal ? " (this animal)" : ""}${line.invented ? " (invented)" : ""}`);
  let waiting = null;
  input.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(search, 200); });
  open("Earlier visits", html("label", { for: "search" }, "Name, owner, number, breed or date"), input, list);
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
        ? can("Compare with the visit at hand", () => { onCompare(visit); compare(visit, now); }) : null,
      !now?.is_open && visit.is_open
        ? can("Go on with this visit", async () => { if (await press("go_on", { visit: visit.visit })) close(); }, "yes") : null),
    charted.length ? table(["Tooth", "Charted", "Decision"], charted.map((tooth) => [tooth.tooth, words(tooth) + open_words(tooth), tooth.decision?.words ?? ""]))
      : html("p", {}, "Nothing abnormal charted"),
    ...list("Mouth", visit.mouth.map(told)), ...list("Procedure", visit.procedures.map(told)),
    ...list("Notes", visit.notes.map((note) => told({ ...note, words: `${note.tooth ? note.tooth + ": " : ""}${note.text || "spoken, kept as sound"}` }))));
}

const told = (given) => given.words + (given.is_confirmed ? "" : " (not confirmed)");
const open_words = (tooth) => (tooth.unconfirmed_count ? ` (${tooth.unconfirmed_count} not confirmed)` : "");
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
    if (then !== here) rows.push([tooth.tooth, (then || "–") + open_words(was), (here || "not charted yet") + open_words(tooth), deeper(was, tooth)]);
  }
  open(`${now.patient.name}: ${day(before.opened_ms)} and today`,
    rows.length ? table(["Tooth", day(before.opened_ms), "Today", "Change"], rows) : html("p", {}, "No difference in the teeth charted then"),
    onlyToday ? html("p", {}, `${onlyToday} teeth are charted today and were not then`) : "");
}

function deeper(was, now) {
  const depth = (tooth) => Math.max(-1, ...tooth.values.filter((value) => value.kind === "depth").map((value) => value.value.mm));
  const [a, b] = [depth(was), depth(now)];
  if (a < 0 || b < 0 || a === b) return "";
  return b > a ? `▲ deepest ${b - a} mm more` : `▼ deepest ${a - b} mm less`;
}

function words(tooth) {
  const depths = ["mesio_buccal", "buccal", "disto_buccal", "mesio_lingual", "lingual", "disto_lingual"]
    .map((site) => tooth.values.find((value) => value.kind === "depth" && value.site === site)?.value.mm ?? "–");
  const parts = depths.some((mm) => mm !== "–") ? [depths.slice(0, 3).join(" ") + " / " + depths.slice(3).join(" ")] : [];
  for (const value of tooth.values) if (value.kind !== "depth") parts.push(value.words);
  return parts.join(", ");
}

function table(heads, rows) {
  return html("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Table" },
    html("table", {}, html("thead", {}, html("tr", {}, ...heads.map((head) => html("th", { scope: "col" }, head)))),
      html("tbody", {}, ...rows.map((row) => html("tr", {}, ...row.map((text, at) => (at ? html("td", {}, String(text)) : html("th", { scope: "row" }, String(text)))))))));
}

export function finish() {
  sure("Finish this visit?", async () => { if (await press("finish")) close(); });
}
