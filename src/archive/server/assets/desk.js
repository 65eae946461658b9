// The front desk's page: asks the archive, shows what it says. All text goes in as text, never as markup; its words are
// in the files of messages.

import { load, t } from "./messages.js";

const at = (id) => document.getElementById(id);

function make(name, fields = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(fields)) {
    if (key in made) made[key] = value; else made.setAttribute(key, value);
  }
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}

function tell(words) {
  at("told").textContent = words ?? "";
  at("told").hidden = !words;
}

/// What the archive names by a word of its own: species, states, roles. One that the files lack is shown as it is.
function word(start, of) {
  const told = t(start + of);
  return told === start + of ? of : told;
}

class Refused extends Error {}

async function ask(path, options = {}) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch {
    throw new Refused(t("no-answer"));
  }
  if (answer.status === 401 && path !== "/v1/enter") show(null);
  if (!answer.ok) {
    const said = await answer.json().catch(() => ({}));
    throw new Refused(said.error ?? t("answers", { status: answer.status }));
  }
  return answer.status === 204 ? null : answer.json();
}

const post = (path, body) => ask(path, {
  method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
});

/// Does it, and tells what went wrong where something did.
const trying = (act) => async (event) => {
  event?.preventDefault();
  try {
    tell(null);
    await act(event);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    tell(error.message);
  }
};

// As the program writes them everywhere: 2026-11-25 14:05, by the clock of this machine.
const two = (number) => String(number).padStart(2, "0");
const iso = (at) => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
const day = (time) => time ? iso(new Date(time)) : "";
const when = (time) => time ? `${day(time)} ${two(new Date(time).getHours())}:${two(new Date(time).getMinutes())}` : "";

function table(caption, heads, rows) {
  if (rows.length === 0) return make("p", { className: "soft" }, t("nothing"));
  const body = rows.map((cells) => make("tr", {}, ...cells.map((cell) => make("td", {}, ...[cell].flat()))));
  return make("div", { className: "wide", tabIndex: 0, role: "region", ariaLabel: caption },
    make("table", {},
      make("caption", { className: "soft" }, caption),
      make("thead", {}, make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, head)))),
      make("tbody", {}, ...body)));
}

let self = null;

function show(who) {
  self = who;
  at("enter").hidden = who !== null;
  at("leave").hidden = who === null;
  at("tabs").hidden = who === null;
  at("who").textContent = who ? t("who", { name: who.name, role: word("role-", who.role), clinic: who.clinic }) : "";
  for (const section of document.querySelectorAll("main > section")) section.hidden = true;
  if (who) tab(who.role === "study" ? "study" : "patients");
  else for (const id of ["hits", "animal", "due-list", "access-list"]) at(id).replaceChildren();
}

function tab(name) {
  for (const button of document.querySelectorAll("#tabs button")) {
    const is = button.dataset.tab === name;
    button.setAttribute("aria-pressed", String(is));
    at(button.dataset.tab).hidden = !is;
  }
  if (name === "access") trying(showAccess)();
  if (name === "rechecks") trying(showRechecks)();
}

const named = (patient) => [patient.name, patient.species && word("", patient.species), patient.identifier, patient.microchip && t("chip", { number: patient.microchip }), patient.owner].filter(Boolean).join(", ");

async function showHits() {
  const hits = await ask("/v1/patients?words=" + encodeURIComponent(at("words").value));
  at("animal").replaceChildren();
  at("hits").replaceChildren(table(t("found"), [t("patient"), t("number"), t("owner"), t("visits"), t("last")], hits.map((hit) => [
    make("button", { type: "button", onclick: trying(() => showAnimal(hit.id)) }, `${hit.name}, ${word("", hit.species)}`),
    hit.identifier ?? "", hit.owner ?? "", String(hit.visit_count), day(hit.last_at),
  ])));
}

const paper = (visit, file, words) => make("a", {
  className: "button", href: `/v1/visits/${visit}/${file}`, download: "",
}, words);

async function showAnimal(id) {
  const animal = await ask("/v1/patients/" + id);
  const name = (patient) => named(animal.patients.find((one) => one.id === patient) ?? { name: "?" });
  const parts = [
    make("h2", { tabIndex: -1 }, animal.patients.map(named).join(" = ")),
    table(t("visits-newest"), [t("opened"), t("table"), t("state"), t("as"), t("papers")], animal.visits.map((visit) => [
      [when(visit.opened_at) + " ", visit.is_invented ? make("span", { className: "mark" }, t("invented")) : null],
      visit.table,
      [word("state-", visit.state),
        visit.unconfirmed_count ? make("div", { className: "mark" }, t("unconfirmed", { count: visit.unconfirmed_count, total: visit.value_count })) : null,
        visit.lost_count ? make("div", { className: "mark" }, t("lost", { count: visit.lost_count })) : null],
      name(visit.patient),
      [paper(visit.visit, "report.pdf", t("report")), paper(visit.visit, "owner.pdf", t("owner-sheet"))],
    ])),
  ];
  if (animal.merges.length) {
    parts.push(make("h3", {}, t("said-one")));
    parts.push(table(t("merged"), [t("patient"), t("is"), t("said-by"), t("why"), t("or-not")], animal.merges.map((merge) => [
      name(merge.patient), name(merge.into_patient), `${merge.by}, ${day(merge.at)}`, merge.reason,
      reasoned(t("not-one"), (reason) => post("/v1/unmerge", { merge: merge.id, reason }), id),
    ])));
  }
  if (animal.look_alikes.length) {
    parts.push(make("h3", {}, t("may-be-one")));
    parts.push(table(t("look-alikes"), [t("patient"), t("visits"), t("last"), t("is-it")], animal.look_alikes.map((other) => [
      named(other), String(other.visit_count), day(other.last_at),
      reasoned(t("are-one"), (reason) => post("/v1/merge", { patient: other.id, into: id, reason }), id),
    ])));
  }
  at("animal").replaceChildren(...parts.filter(Boolean));
  at("animal").querySelector("h2").focus();
}

/// A button with the reason that it needs.
function reasoned(words, act, id) {
  const why = make("input", { type: "text", placeholder: t("why-short"), ariaLabel: t("why-of", { what: words }), required: true, maxLength: 200 });
  return make("form", { onsubmit: trying(async () => { await act(why.value); await showAnimal(id); }) },
    why, make("button", { type: "submit" }, words));
}

async function showRechecks() {
  const due = await ask("/v1/rechecks?until=" + encodeURIComponent(at("until").value));
  at("due-list").replaceChildren(table(t("due-what"), [t("due"), t("patient"), t("number"), t("owner"), t("what"), t("teeth"), t("seen")], due.map((line) => [
    [line.from ? t("due-from", { from: line.from, until: line.until }) : line.until, line.is_overdue ? make("div", { className: "mark" }, t("overdue")) : null, line.is_result ? make("div", { className: "mark" }, t("result-awaited")) : null],
    make("button", { type: "button", onclick: trying(async () => { tab("patients"); await showAnimal(line.patient); }) }, `${line.name}, ${word("", line.species)}`),
    line.identifier ?? "", line.owner ?? "", line.what, line.teeth, day(line.seen_at),
  ])));
}

async function showAccess() {
  at("access-list").replaceChildren();
  const lines = await ask("/v1/access");
  at("access-list").replaceChildren(table(t("newest-first"), [t("when"), t("did-who"), t("did"), t("did-of"), t("did-more")], lines.map((line) => [
    when(line.at), `${line.name} (${word("role-", line.role)})`, line.action, line.visit ?? line.patient ?? "", line.detail,
  ])));
}

const enter = trying(async () => {
  const key = at("key").value;
  at("key").value = "";
  await ask("/v1/enter", { method: "POST", headers: { "Content-Type": "application/json", Authorization: "Bearer " + key } });
  show(await ask("/v1/hello"));
  at("words").focus();
});
at("enter").addEventListener("submit", enter);
at("leave").addEventListener("click", trying(async () => { await post("/v1/leave", {}); show(null); at("key").focus(); }));
at("search").addEventListener("submit", trying(showHits));
at("due").addEventListener("submit", trying(showRechecks));
for (const button of document.querySelectorAll("#tabs button")) button.addEventListener("click", () => { tell(null); tab(button.dataset.tab); });
const studyAddress = () => {
  const wanted = new URLSearchParams();
  if (at("with-breed").checked) wanted.set("with_breed", "true");
  if (at("with-invented").checked) wanted.set("with_invented", "true");
  at("study-file").href = "/v1/study.csv" + (wanted.size ? "?" + wanted : "");
};
at("with-breed").addEventListener("change", studyAddress);
at("with-invented").addEventListener("change", studyAddress);

await load();
document.title = t("title");
const soon = new Date(Date.now() + 30 * 86400000);
at("until").value = iso(soon);
try {
  show(await ask("/v1/hello"));
} catch {
  show(null);
  at("key").focus();
}
