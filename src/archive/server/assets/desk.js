// The front desk's page: asks the archive, shows what it says. All text goes in as text, never as markup.

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

class Refused extends Error {}

async function ask(path, options = {}) {
  let answer;
  try {
    answer = await fetch(path, options);
  } catch {
    throw new Refused("The archive does not answer. Is the network there, and does the archive run?");
  }
  if (answer.status === 401 && path !== "/v1/enter") show(null);
  if (!answer.ok) {
    const said = await answer.json().catch(() => ({}));
    throw new Refused(said.error ?? `The archive answers ${answer.status}.`);
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
  if (rows.length === 0) return make("p", { className: "soft" }, "Nothing found.");
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
  at("who").textContent = who ? `${who.name} (${who.role}), ${who.clinic}` : "";
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

const named = (patient) => [patient.name, patient.species, patient.identifier, patient.microchip && `chip ${patient.microchip}`, patient.owner].filter(Boolean).join(", ");

async function showHits() {
  const hits = await ask("/v1/patients?words=" + encodeURIComponent(at("words").value));
  at("animal").replaceChildren();
  at("hits").replaceChildren(table("Patients found", ["Patient", "Number", "Owner", "Visits", "Last"], hits.map((hit) => [
    make("button", { type: "button", onclick: trying(() => showAnimal(hit.id)) }, `${hit.name}, ${hit.species}`),
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
    table("Visits, newest first", ["Opened", "Table", "State", "As", "Papers"], animal.visits.map((visit) => [
      [when(visit.opened_at) + " ", visit.is_invented ? make("span", { className: "mark" }, "invented") : null],
      visit.table,
      [visit.state,
        visit.unconfirmed_count ? make("div", { className: "mark" }, `${visit.unconfirmed_count} of ${visit.value_count} values unconfirmed`) : null,
        visit.lost_count ? make("div", { className: "mark" }, `${visit.lost_count} entries lost by the disk`) : null],
      name(visit.patient),
      [paper(visit.visit, "report.pdf", "Report"), paper(visit.visit, "owner.pdf", "Sheet for the owner")],
    ])),
  ];
  if (animal.merges.length) {
    parts.push(make("h3", {}, "Said to be one animal"));
    parts.push(table("Merged", ["Patient", "Is", "Said by", "Why", "Or not?"], animal.merges.map((merge) => [
      name(merge.patient), name(merge.into_patient), `${merge.by}, ${day(merge.at)}`, merge.reason,
      reasoned("They are not one", (reason) => post("/v1/unmerge", { merge: merge.id, reason }), id),
    ])));
  }
  if (animal.look_alikes.length) {
    parts.push(make("h3", {}, "May be the same animal: you decide"));
    parts.push(table("Look-alikes", ["Patient", "Visits", "Last", "Is it?"], animal.look_alikes.map((other) => [
      named(other), String(other.visit_count), day(other.last_at),
      reasoned("They are one", (reason) => post("/v1/merge", { patient: other.id, into: id, reason }), id),
    ])));
  }
  at("animal").replaceChildren(...parts.filter(Boolean));
  at("animal").querySelector("h2").focus();
}

/// A button with the reason that it needs.
function reasoned(words, act, id) {
  const why = make("input", { type: "text", placeholder: "why", ariaLabel: `Why: ${words}`, required: true, maxLength: 200 });
  return make("form", { onsubmit: trying(async () => { await act(why.value); await showAnimal(id); }) },
    why, make("button", { type: "submit" }, words));
}

async function showRechecks() {
  const due = await ask("/v1/rechecks?until=" + encodeURIComponent(at("until").value));
  at("due-list").replaceChildren(table("Not here again since, or a result that nobody has read", ["Due", "Patient", "Number", "Owner", "What", "Teeth", "Seen"], due.map((line) => [
    [line.from ? `${line.from} to ${line.until}` : line.until, line.is_overdue ? make("div", { className: "mark" }, "overdue") : null, line.is_result ? make("div", { className: "mark" }, "result awaited") : null],
    make("button", { type: "button", onclick: trying(async () => { tab("patients"); await showAnimal(line.patient); }) }, `${line.name}, ${line.species}`),
    line.identifier ?? "", line.owner ?? "", line.what, line.teeth, day(line.seen_at),
  ])));
}

async function showAccess() {
  at("access-list").replaceChildren();
  const lines = await ask("/v1/access");
  at("access-list").replaceChildren(table("Newest first", ["When", "Who", "Did", "Of", "More"], lines.map((line) => [
    when(line.at), `${line.name} (${line.role})`, line.action, line.visit ?? line.patient ?? "", line.detail,
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

const soon = new Date(Date.now() + 30 * 86400000);
at("until").value = iso(soon);
try {
  show(await ask("/v1/hello"));
} catch {
  show(null);
  at("key").focus();
}
