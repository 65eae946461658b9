// Joins the parts: shows each new state, and turns touches and keys into presses.

import { enter, link, look, press, reconnect, start } from "./link.js";
import * as alarm from "./alarm.js";
import { Mouth } from "./mouth.js";
import * as patient from "./patient.js";
import * as around from "./procedure.js";
import * as sheet from "./sheet.js";
import { chips, html, say, sites } from "./tooth.js";

const $ = (id) => document.getElementById(id);
const root = document.documentElement;
// A question that appears under a finger is not yet answered by it.
const ASK_GUARD_MS = 700;
// Looking at another tooth ends by itself.
const LOOK_MS = 30000;
const TROUBLE_MS = 8000;
// Clipped sound is told long enough to be read.
const LOUD_MS = 3000;

let looking = null; // Another tooth than the one at hand.
let lookingUntil = 0;
let before = null; // An earlier visit of this animal.
let beforeOf = "";
let askedAtMs = 0;
let isLive = false;
let lastHeardMs = 0;
let loudAtMs = 0;

const mouth = new Mouth($("drawing"), lookAt);

// ---- showing

function text(id, words) {
  const node = $(id);
  if (node.textContent !== words) node.textContent = words;
}

/// Replaces children without losing the focus of the one that had it.
function replace(node, children) {
  const key = node.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  node.replaceChildren(...children);
  if (key) node.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus();
}

function show(state) {
  $("gate").hidden = true;
  $("page").hidden = false;
  const visit = state.visit;
  for (const id of ["mouth", "tooth", "lists"]) $(id).hidden = !visit;
  $("empty").hidden = Boolean(visit);
  $("work").classList.toggle("without", !visit);
  alarm.show(state);
  showHeard(state);
  showQuestion(state);
  showEar(state);
  showPatient(visit);
  for (const id of ["confirm", "undo", "note", "pause"]) $(id).disabled = !visit?.is_open;
  if (visit) {
    if (visit.visit !== beforeOf) findEarlier(visit);
    showTooth(state, visit);
    mouth.update(link.words, visit, looking ?? visit.tooth, state.missing, state.normal_depth_mm);
    showLists(state, visit);
    text("confirm-count", visit.unconfirmed_count ? String(visit.unconfirmed_count) : "");
    $("confirm").classList.toggle("wanted", visit.unconfirmed_count > 0 && !state.question);
    $("confirm").disabled = visit.is_open && (Boolean(state.question) || visit.unconfirmed_count === 0);
    $("confirm").querySelector("b").textContent = visit.is_open ? "Confirm" : "New patient";
    if (!visit.is_open) text("confirm-count", "+");
  }
  showTimers();
  if (state.saved_ms && String(state.saved_ms) !== root.dataset.savedMs) {
    // For the browser tests: from the commit to the page.
    root.dataset.lagMs = String(Date.now() - state.saved_ms);
    root.dataset.savedMs = String(state.saved_ms);
  }
}

function showHeard(state) {
  text("awaited", state.awaited);
  text("told", state.said.join(". "));
  $("told-title").hidden = !state.said.length;
  const heard = state.heard;
  $("heard").hidden = !heard || Boolean(state.question);
  if (heard) {
    const key = heard.is_lost ? "not-saved" : !heard.saved ? (heard.understood ? "only-told" : "lost") : heard.is_doubtful ? "doubt" : "saved";
    $("heard").className = key;
    const words = { saved: "✓ saved", doubt: "≈ saved, doubtful", "only-told": "– nothing entered", lost: "✗ not understood", "not-saved": "✗ NOT SAVED" }[key];
    text("heard-mark", words);
    const sure = heard.is_pressed ? "" : ` (${Math.round(heard.confidence * 100)} % sure)`;
    text("heard-words", heard.is_pressed ? "by touch" : heard.words ? `“${heard.words}”${sure}` : "");
  }
  const trouble = state.warnings.join(". ");
  if (trouble || $("trouble").dataset.from === "state") showTrouble(trouble, "state");
}

function showTrouble(words, from) {
  $("trouble").hidden = !words;
  $("trouble").dataset.from = words ? from : "";
  text("trouble", words ? "⚠ " + words : "");
}

function showQuestion(state) {
  const was = $("ask").hidden ? "" : $("ask-text").textContent;
  const question = state.question ?? "";
  if (question && question !== was) {
    askedAtMs = Date.now();
    $("ask").classList.add("fresh");
    setTimeout(() => $("ask").classList.remove("fresh"), ASK_GUARD_MS);
  }
  $("ask").hidden = !question;
  $("calm").hidden = Boolean(question);
  text("ask-text", question);
}

function showEar(state) {
  const word = !state.has_microphone ? "No microphone" : state.is_speaking ? "Speaking" : state.is_listening ? "Listening" : "Paused";
  const sign = { "No microphone": "⌨", Speaking: "🔊", Listening: "●", Paused: "❚❚" }[word];
  text("ear-word", `${sign} ${word}`);
  $("ear").className = word.toLowerCase().replace(" ", "-");
  $("level").hidden = !state.has_microphone;
  const paused = state.visit && !state.is_listening;
  $("pause").querySelector("b").textContent = paused ? "Go on" : "Pause";
}

function showPatient(visit) {
  text("patient-name", visit ? visit.patient.name : "sulcus");
  if (!visit) return text("patient-more", "");
  const p = visit.patient;
  const parts = [p.species, p.weight_g ? `${p.weight_g / 1000} kg` : "no weight", visit.is_open ? "" : "FINISHED", p.invented ? "INVENTED" : ""];
  text("patient-more", parts.filter(Boolean).join(" · "));
  document.title = `${p.name} – sulcus`;
}

function showTooth(state, visit) {
  if (looking === visit.tooth) looking = null;
  const number = looking ?? visit.tooth;
  const tooth = visit.teeth.find((one) => one.tooth === number);
  const away = looking !== null && visit.tooth !== null;
  $("away").hidden = looking === null;
  $("tooth-name").hidden = looking !== null;
  $("tooth").classList.toggle("elsewhere", away);
  if (looking !== null) {
    text("away-text", away && visit.is_open ? `Looking only. Voice is at ${visit.tooth}` : "Looking only");
    text("go-there", `Voice to ${looking}`);
    $("go-there").hidden = !visit.is_open;
    text("go-back", visit.tooth ? `Back to ${visit.tooth}` : "Close");
  }
  $("sites").hidden = !tooth || tooth.is_absent;
  if (!tooth) {
    text("tooth-number", "–");
    text("tooth-name", "no tooth at hand: say one or touch one");
    return replace($("chips"), []);
  }
  if (!mouth.species) mouth.build(link.words, visit.patient.species);
  const upper = mouth.upper(number);
  text("tooth-number", String(number));
  text("tooth-name", mouth.name(number));
  const was = before?.teeth.find((one) => one.tooth === number);
  // A finished visit is only looked at.
  const touched = (then) => (...given) => { if (visit.is_open) then(number, ...given); };
  replace($("sites"), sites(tooth, was, upper, link.state.normal_depth_mm, touched(sheet.site)));
  const notes = visit.notes.filter((note) => note.tooth === number);
  replace($("chips"), chips(tooth, notes, touched(sheet.value), touched(sheet.single), touched(sheet.decision), touched((tooth) => sheet.finding(tooth, upper))));
  for (const key of ["decide", "add"]) $("chips").querySelector(`[data-key="${key}"]`).disabled = !visit.is_open;
  $("chips").classList.toggle("more", $("chips").scrollHeight > $("chips").clientHeight + 8);
}

function showLists(state, visit) {
  const tile = (id, title, sign, words, look) => {
    $(id).className = "tile " + look;
    $(id).replaceChildren(html("b", {}, `${sign} ${title}`), html("span", {}, words));
  };
  const urgent = state.alerts.find((alert) => alert.weight === "urgent") ?? state.alerts[0];
  tile("alerts", `Alerts ${state.alerts.length || ""}`, state.alerts.length ? "▲" : "✓",
    urgent ? `${urgent.tooth ? urgent.tooth + ": " : ""}${urgent.text}` : "none", urgent ? urgent.weight : "");
  const decided = visit.teeth.filter((tooth) => tooth.decision);
  const count = (key) => decided.filter((tooth) => tooth.decision.key === key).length;
  const kinds = [["extract", "E"], ["monitor", "M"], ["treat", "T"], ["leave", "L"]].filter(([key]) => count(key)).map(([key, sign]) => `${sign} ${count(key)}`);
  tile("decisions", `Decisions ${decided.length || ""}`, "◆", kinds.join("   ") || "none yet", "");
  const done = state.check_list.filter((point) => point.is_done).length;
  const next = state.check_list.find((point) => !point.is_done);
  tile("checks", state.check_list.length ? `Checks ${done}/${state.check_list.length}` : "Checks", "☑", next ? next.text : "all done", "");
  const lastOf = (list) => list.at(-1)?.words;
  tile("procedure", "Procedure", "◷", lastOf(visit.procedures) ?? "times, blocks", "");
  for (const id of ["procedure", "around"]) $(id).disabled = !visit.is_open;
  tile("around", `Mouth ${visit.mouth.length || ""}`, "◠", lastOf(visit.mouth) ?? "bite, lining", "");
}

function showTimers() {
  const timers = link.state?.visit?.timers ?? [];
  const now = Date.now() + link.clockOffsetMs;
  const running = timers.filter((timer) => timer.to_ms === null);
  const list = $("timers");
  while (list.children.length > running.length) list.lastChild.remove();
  while (list.children.length < running.length) list.append(html("li", {}, html("span"), html("b")));
  running.forEach((timer, at) => {
    const seconds = Math.max(0, Math.floor((now - timer.from_ms) / 1000));
    const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
    const two = (n) => String(n).padStart(2, "0");
    const [title, clock] = list.children[at].children;
    const isOver = timer.minutes_max !== null && seconds >= timer.minutes_max * 60;
    const key = `${timer.title}${isOver}`;
    if (title.dataset.of !== key) {
      title.dataset.of = key;
      list.children[at].className = isOver ? "over" : "";
      title.replaceChildren(`${isOver ? "▲ " : ""}${timer.title}`, isOver ? say(`, longer than ${timer.minutes_max} minutes`) : "");
    }
    clock.textContent = hours ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
  });
}

async function findEarlier(visit) {
  beforeOf = visit.visit;
  before = null;
  looking = null;
  const hits = await look("/api/visits?q=" + encodeURIComponent(visit.patient.name));
  const hit = hits?.find((line) => line.is_same_animal && line.visit !== visit.visit && line.opened_ms < visit.opened_ms);
  const found = hit ? await look("/api/visits/" + hit.visit) : null;
  if (found && beforeOf === visit.visit) {
    before = found;
    show(link.state);
  }
}

// ---- live or not

function live(is, heardMs) {
  lastHeardMs = heardMs;
  if (is === isLive && root.dataset.live === (is ? "yes" : "no")) return;
  isLive = is;
  root.dataset.live = is ? "yes" : "no";
  $("dead").hidden = is || !$("gate").hidden;
  $("page").inert = !is;
  if (!is) sheet.close();
  $("live").querySelector("span").textContent = is ? "LIVE" : "NOT LIVE";
}

function showLoud() {
  $("too-loud").hidden = !link.state?.has_microphone || Date.now() - loudAtMs > LOUD_MS;
}

setInterval(() => {
  showTimers();
  showLoud();
  if (!isLive && lastHeardMs) {
    const seconds = Math.round((Date.now() - lastHeardMs) / 1000);
    text("dead-since", `What you see is ${seconds} s old. Trying again by itself.`);
  }
  if (looking !== null && Date.now() > lookingUntil && !sheet.isOpen()) {
    looking = null;
    if (link.state) show(link.state);
  }
}, 1000);

link.onState = show;
link.onLive = live;
link.onLevel = (dbfs) => {
  const share = Math.max(0, Math.min(1, (dbfs + 60) / 60));
  $("level").firstElementChild.style.width = `${Math.round(share * 100)}%`;
  $("level").setAttribute("aria-valuenow", String(Math.round(dbfs)));
  $("level").className = dbfs > -3 ? "loud" : dbfs < -50 ? "quiet" : "";
  if (dbfs > -3) loudAtMs = Date.now();
  showLoud();
};
link.onTrouble = (words, look = "") => {
  if (link.onSheetTrouble) return link.onSheetTrouble(words);
  if (sheet.isOpen()) sheet.close();
  showTrouble(words, "press");
  $("trouble").className = look;
  setTimeout(() => { if ($("trouble").dataset.from === "press") showTrouble("", ""); }, TROUBLE_MS);
};
link.onGate = (why) => {
  $("dead").hidden = true;
  $("page").hidden = true;
  $("gate").hidden = false;
  $("gate-form").hidden = location.protocol !== "https:";
  text("gate-why", why ? `${why[0].toUpperCase()}${why.slice(1)}. It is printed where sulcus was started.` : "");
};
$("gate-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (await enter($("code").value)) return reconnect();
  text("gate-trouble", "That code does not let you in. Look at the machine: it may show a new one.");
});

// ---- doing

function lookAt(tooth) {
  const visit = link.state?.visit;
  if (!visit) return;
  looking = tooth === visit.tooth ? null : tooth;
  lookingUntil = Date.now() + LOOK_MS;
  show(link.state);
}

const at = () => looking ?? link.state?.visit?.tooth ?? null;

function step(by) {
  // Looking elsewhere, the arrows look on; else they move the voice.
  if (looking !== null) return lookAt(mouth.beside(looking, by));
  const visit = link.state.visit;
  if (!visit.is_open) return lookAt(mouth.beside(visit.tooth ?? visit.teeth[0].tooth, by));
  press(by > 0 ? "next" : "previous");
}

const answer = (name) => { if (link.state?.question && Date.now() - askedAtMs > ASK_GUARD_MS) press(name); };
const doIt = {
  confirm: () => {
    if ($("confirm").disabled) return;
    if (link.state.visit.is_open) press("confirm");
    else patient.form(null);
  },
  undo: () => press("undo"),
  note: () => sheet.note(at()),
  pause: () => press(link.state?.is_listening ? "pause" : "listen"),
  more,
  yes: () => answer("yes"),
  no: () => answer("no"),
  back: () => step(-1),
  on: () => step(1),
};
for (const [id, action] of Object.entries(doIt)) $(id).addEventListener("click", action);
$("go-there").addEventListener("click", () => { if (looking) press("choose", { tooth: looking }); });
$("go-back").addEventListener("click", () => { looking = null; show(link.state); });
$("alerts").addEventListener("click", () => sheet.alerts(link.state, lookAt));
$("decisions").addEventListener("click", () => sheet.decisions(link.state.visit, lookAt));
$("checks").addEventListener("click", () => sheet.checks(link.state));
$("procedure").addEventListener("click", () => around.procedure());
$("around").addEventListener("click", () => around.mouth());
$("new-visit").addEventListener("click", () => patient.form(null));
$("old-visits").addEventListener("click", () => patient.visits(compareWith));

const compareWith = (visit) => { before = visit; show(link.state); };

function more() {
  const visit = link.state?.visit;
  const item = (words, on, is = true) => (is ? html("button", { on }, words) : null);
  sheet.open("More", sheet.grid("",
    item("Tooth by number", () => sheet.pick(visit.teeth.map((tooth) => tooth.tooth), lookAt), visit?.is_open),
    item("What is missing?", () => { press("ask_missing"); sheet.close(); }, visit?.is_open),
    item("Say again", () => { press("repeat"); sheet.close(); }, visit?.is_open),
    item("Stop speaking", () => { press("quiet"); sheet.close(); }, visit?.is_open),
    item("Patient", () => patient.form(visit), visit?.is_open),
    item("Compare with last visit", () => patient.compare(before, visit), Boolean(visit && before)),
    item("Earlier visits", () => patient.visits(compareWith)),
    item("New patient", () => patient.form(null), !visit?.is_open),
    item("Finish the visit", () => patient.finish(), visit?.is_open),
    item("Light or dark", theme),
    item("Keys and foot pedal", () => sheet.keys())));
}

function theme() {
  const dark = root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  root.dataset.theme = dark ? "light" : "dark";
  localStorage.setItem("sulcus-theme", root.dataset.theme);
}

const KEYS = {
  c: doIt.confirm, PageDown: doIt.confirm, u: doIt.undo, PageUp: doIt.undo, y: doIt.yes, x: doIt.no,
  "+": doIt.on, ArrowRight: doIt.on, "-": doIt.back, ArrowLeft: doIt.back, p: doIt.pause, n: doIt.note,
  m: doIt.more, t: () => around.procedure(), o: () => around.mouth(), r: () => press("repeat"), s: () => press("quiet"), l: theme,
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat || !isLive || sheet.isOpen()) return;
  if (event.target.closest("input, textarea, select")) return;
  const action = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  const visitless = action === doIt.more || action === theme;
  if (!action || (!link.state?.visit?.is_open && !visitless)) return;
  event.preventDefault();
  action();
});

root.dataset.theme = localStorage.getItem("sulcus-theme") ?? "";
if (!root.dataset.theme) delete root.dataset.theme;
start();
