// Joins the parts: shows each new state, and turns touches and keys into presses.

import * as after from "./after.js";
import * as alarm from "./alarm.js";
import { enter, link, look, post, press, reconnect, start } from "./link.js";
import { language, t } from "./messages.js";
import { Mouth } from "./mouth.js";
import { Pad } from "./pad.js";
import * as patient from "./patient.js";
import * as around from "./procedure.js";
import * as sheet from "./sheet.js";
import { chips, html, say, sites } from "./tooth.js";
import * as vitals from "./vitals.js";

const $ = (id) => document.getElementById(id);
const root = document.documentElement;
// A question that appears under a finger is not yet answered by it.
const ASK_GUARD_MS = 700;
const TROUBLE_MS = 8000;
const READ_MS = 2500;
// Clipped sound is told long enough to be read.
const LOUD_MS = 3000;

let looking = null; // Another tooth than the one at hand: nothing is entered for it.
let touchLooks = null; // Chosen by hand: a touched tooth is looked at (true) or worked at (false).
let before = null; // An earlier visit of this animal.
let beforeOf = "";
let askedAtMs = 0;
let isLive = false;
let lastHeardMs = 0;
let loudAtMs = 0;

root.dataset.view = location.pathname === "/wall" ? "wall" : "work";

const mouth = new Mouth($("drawing"), touched);
const pad = new Pad(() => showTooth(link.state, link.state.visit));
mouth.onZoom = (part) => { $("zoom-out").hidden = part === null; };
$("zoom-out").addEventListener("click", () => mouth.zoom(null));
$("touch-mode").addEventListener("click", () => { touchLooks = !looks(); show(link.state); });

/// With a microphone somebody may be speaking: a touch then only looks, unless the person chose otherwise.
const looks = () => touchLooks ?? Boolean(link.state?.has_microphone);

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
  const isOpen = Boolean(visit?.is_open);
  const isWall = root.dataset.view === "wall";
  for (const id of ["mouth", "tooth", "lists"]) $(id).hidden = !visit || isWall;
  $("pad").hidden = !isOpen || looking !== null || isWall;
  $("after").hidden = !visit || isOpen || isWall;
  $("hear").hidden = isWall;
  $("rail").hidden = isWall;
  $("wall").hidden = !isWall;
  $("empty").hidden = Boolean(visit) || isWall;
  $("work").classList.toggle("without", !visit);
  alarm.show(state);
  $("work").classList.toggle("ended", Boolean(visit) && !isOpen);
  if (!visit || looking === visit.tooth) looking = null;
  showHeard(state);
  showQuestion(state);
  showEar(state);
  showPatient(visit);
  for (const id of ["undo", "note", "pause"]) $(id).disabled = !isOpen;
  if (visit) {
    if (visit.visit !== beforeOf) findEarlier(visit);
    if (visit.teeth.some((tooth) => tooth.tooth === visit.tooth) || visit.tooth === null) pad.update(state, before);
    mouth.update(link.words, visit, looking ?? visit.tooth, state.missing, state.normal_depth_mm);
    showTooth(state, visit);
    showLists(state, visit);
    if (!isOpen) showAfter(visit);
  }
  vitals.strip($("strip"), isWall ? null : state);
  showConfirm(state, visit);
  showTimers();
  if (isWall) showWall(state);
  sheet.changed(state);
  if (state.saved_ms && String(state.saved_ms) !== root.dataset.savedMs) {
    // For the browser tests: from the commit to the page.
    root.dataset.lagMs = String(Date.now() - state.saved_ms);
    root.dataset.savedMs = String(state.saved_ms);
  }
}

function showConfirm(state, visit) {
  const button = $("confirm");
  const count = visit?.unconfirmed_count ?? 0;
  button.querySelector("b").textContent = !visit || visit.is_open ? t("confirm") : t("new-patient");
  text("confirm-count", !visit?.is_open && visit ? "+" : count ? String(count) : "");
  button.classList.toggle("wanted", Boolean(visit?.is_open) && count > 0 && !state.question);
  button.disabled = !visit || (visit.is_open && (Boolean(state.question) || count === 0));
}

function showHeard(state) {
  const visit = state.visit;
  // Without a microphone nobody can say a number.
  const isTouchOnly = visit?.is_open && visit.tooth === null && !state.has_microphone && state.is_listening && !state.question;
  text("awaited", isTouchOnly ? t("touch-a-tooth") : state.awaited);
  text("told", state.said.join(". "));
  $("told-title").hidden = !state.said.length;
  const heard = state.heard;
  $("heard").hidden = !heard || Boolean(state.question);
  if (heard) {
    const key = heard.is_lost ? "not-saved" : !heard.saved ? (heard.understood ? "only-told" : "lost") : heard.is_doubtful ? "doubt" : "saved";
    $("heard").className = key;
    text("heard-mark", { saved: "✓ ", doubt: "≈ ", "only-told": "– ", lost: "✗ ", "not-saved": "✗ " }[key] + t("heard-" + key));
    const sure = heard.is_pressed ? "" : ` (${t("percent-sure", { percent: Math.round(heard.confidence * 100) })})`;
    text("heard-words", heard.is_pressed ? t("by-touch") : heard.words ? `“${heard.words}”${sure}` : "");
  }
  // What can be said now; after a refusal the nearest ways of what was heard.
  const near = heard && !heard.saved && !heard.understood ? heard.near : [];
  const sayable = near.length ? near : state.has_microphone ? state.sayable.slice(0, 3) : [];
  $("sayable").hidden = !sayable.length;
  text("sayable-title", t(near.length ? "nearest" : "sayable"));
  text("sayable-words", sayable.map((one) => `“${one}”`).join(" · "));
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
  const key = !state.has_microphone ? "no-microphone" : state.is_speaking ? "speaking" : state.is_listening ? "listening" : "paused";
  const sign = { "no-microphone": "⌨", speaking: "🔊", listening: "●", paused: "❚❚" }[key];
  text("ear-word", `${sign} ${t(key)}`);
  $("ear").className = key;
  $("level").hidden = !state.has_microphone;
  const paused = state.visit && !state.is_listening;
  $("pause").querySelector("b").textContent = paused ? t("go-on") : t("pause");
}

function showPatient(visit) {
  text("patient-name", visit ? visit.patient.name : "sulcus");
  if (!visit) return text("patient-more", "");
  const p = visit.patient;
  const parts = [t(p.species), p.weight_g ? `${p.weight_g / 1000} kg` : t("no-weight"), visit.is_open ? "" : t("finished-mark"), p.invented ? t("invented-mark") : ""];
  text("patient-more", parts.filter(Boolean).join(" · "));
  document.title = `${p.name} – sulcus`;
}

function showTooth(state, visit) {
  const number = looking ?? visit.tooth;
  const tooth = visit.teeth.find((one) => one.tooth === number);
  const isLooking = looking !== null;
  const canEnter = visit.is_open && !isLooking && !state.question;
  $("away").hidden = !isLooking;
  $("tooth").classList.toggle("elsewhere", isLooking);
  if (isLooking) {
    text("away-text", !visit.is_open ? t("looking-finished") : visit.tooth ? t("looking-while", { tooth: looking, at: visit.tooth }) : t("looking-at", { tooth: looking }));
    text("go-there", t("work-at", { tooth: looking }));
    $("go-there").hidden = !visit.is_open;
    text("go-back", visit.tooth ? t("back-to", { tooth: visit.tooth }) : t("close"));
  }
  $("sites").hidden = !tooth || tooth.is_absent;
  if (!tooth) {
    text("tooth-number", "–");
    text("tooth-name", state.has_microphone ? t("no-tooth-say") : t("no-tooth-touch"));
    return replace($("chips"), []);
  }
  const upper = mouth.upper(number);
  text("tooth-number", String(number));
  text("tooth-name", mouth.name(number));
  const was = before?.teeth.find((one) => one.tooth === number);
  replace($("sites"), sites({
    words: link.words, tooth, before: was, upper, normal: state.normal_depth_mm,
    at: canEnter ? pad.at : null, pending: isLooking ? new Map() : pad.pending,
    onSite: canEnter ? (site) => pad.choose(site) : null,
  }));
  const notes = visit.notes.filter((note) => note.tooth === number);
  replace($("chips"), chips(tooth, notes, canEnter ? {
    value: (value) => sheet.value(number, value), single: (given, words) => sheet.single(number, given, words), decision: () => sheet.decision(number),
  } : null));
}

function showLists(state, visit) {
  const tile = (id, title, sign, words, look) => {
    const node = $(id);
    const key = `${sign} ${title}|${words}|${look}`;
    if (node.dataset.of === key) return;
    node.dataset.of = key;
    node.className = "tile " + look;
    node.replaceChildren(html("b", {}, `${sign} ${title}`), html("span", {}, words));
  };
  const urgent = state.alerts.find((alert) => alert.weight === "urgent") ?? state.alerts[0];
  tile("alerts", `${t("alerts")} ${state.alerts.length || ""}`, state.alerts.length ? "▲" : "✓",
    urgent ? `${urgent.tooth ? urgent.tooth + ": " : ""}${urgent.text}` : t("none"), urgent ? urgent.weight : "");
  const decided = visit.teeth.filter((tooth) => tooth.decision);
  const count = (key) => decided.filter((tooth) => tooth.decision.key === key).length;
  const kinds = [["extract", "E"], ["monitor", "M"], ["treat", "T"], ["leave", "L"]].filter(([key]) => count(key)).map(([key, sign]) => `${sign} ${count(key)}`);
  tile("decisions", `${t("decisions")} ${decided.length || ""}`, "◆", kinds.join("   ") || t("none-yet"), "");
  const done = state.check_list.filter((point) => point.is_done).length;
  const next = state.check_list.find((point) => !point.is_done);
  tile("checks", state.check_list.length ? `${t("checks")} ${done}/${state.check_list.length}` : t("checks"), "☑", next ? next.text : t("all-done"), "");
  const lastOf = (list) => list.at(-1)?.words;
  tile("procedure", t("procedure"), "◷", lastOf(visit.procedures) ?? t("procedure-short"), "");
  for (const id of ["procedure", "around"]) $(id).disabled = !visit.is_open;
  tile("around", `${t("mouth-word")} ${visit.mouth.length || ""}`, "◠", lastOf(visit.mouth) ?? t("mouth-short"), "");
  text("touch-mode", looks() ? t("touch-looks") : t("touch-works"));
  $("rest").hidden = !visit.is_open;
  $("rest").disabled = Boolean(state.question) || !state.missing.length;
  // Without a microphone nobody speaks, and a touch goes to work; "More" has the choice then.
  $("touch-mode").hidden = !visit.is_open || !state.has_microphone;
  $("touch-mode").setAttribute("aria-pressed", String(looks()));
}

let afterOf = "";
function showAfter(visit) {
  const key = `${visit.visit} ${visit.last}`;
  if (afterOf === key) return;
  afterOf = key;
  replace($("after"), after.panel(visit, { print: () => print(), earlier: () => patient.visits(compareWith), fresh: () => patient.form(null) }));
}

function showWall(state) {
  const visit = state.visit;
  text("wall-tooth", visit?.tooth ? String(visit.tooth) : "–");
  text("wall-awaited", state.question ?? state.awaited);
  $("wall-awaited").classList.toggle("asked", Boolean(state.question));
  text("wall-told", state.said.at(-1) ?? "");
  const over = overdue().map((timer) => t("longer-than", { what: timer.title, count: timer.minutes_max }));
  const list = [...state.warnings, ...state.alerts.filter((alert) => alert.weight === "urgent").map((alert) => `${alert.tooth ? alert.tooth + ": " : ""}${alert.text}`), ...over];
  $("wall-alerts").replaceChildren(...list.slice(0, 3).map((words) => html("li", {}, "▲ " + words)),
    ...(list.length > 3 ? [html("li", {}, t("and-more", { count: list.length - 3 }))] : []));
}

const nowMs = () => Date.now() + link.clockOffsetMs;
const isOver = (timer) => timer.to_ms === null && timer.minutes_max !== null && nowMs() - timer.from_ms >= timer.minutes_max * 60000;
const overdue = () => (link.state?.visit?.timers ?? []).filter(isOver);

function showTimers() {
  const timers = link.state?.visit?.timers ?? [];
  const now = nowMs();
  const running = timers.filter((timer) => timer.to_ms === null);
  const list = $("timers");
  list.hidden = !running.length;
  while (list.children.length > running.length) list.lastChild.remove();
  while (list.children.length < running.length) list.append(html("li", {}, html("span"), html("b")));
  running.forEach((timer, at) => {
    const seconds = Math.max(0, Math.floor((now - timer.from_ms) / 1000));
    const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
    const two = (n) => String(n).padStart(2, "0");
    const [title, clock] = list.children[at].children;
    const over = isOver(timer);
    const key = `${timer.title}${over}`;
    if (title.dataset.of !== key) {
      title.dataset.of = key;
      list.children[at].className = over ? "over" : "";
      title.replaceChildren(`${over ? "▲ " : ""}${timer.title}`, over ? say(", " + t("longer-than", { what: "", count: timer.minutes_max }).trim()) : "");
    }
    clock.textContent = hours ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
  });
}

async function findEarlier(visit) {
  beforeOf = visit.visit;
  before = null;
  looking = null;
  mouth.zoom(null);
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
  // A sheet stays with what was typed in it.
  $("sheet-dead").hidden = is;
  text("sheet-dead", is ? "" : `${t("not-live")}. ${t("typed-stays")}`);
  $("live").querySelector("span").textContent = is ? t("live") : t("not-live");
}

function showLoud() {
  $("too-loud").hidden = !link.state?.has_microphone || Date.now() - loudAtMs > LOUD_MS;
}

setInterval(() => {
  showTimers();
  vitals.strip($("strip"), root.dataset.view === "wall" ? null : link.state);
  showLoud();
  if (root.dataset.view === "wall" && link.state) showWall(link.state);
  if (!isLive && lastHeardMs) {
    text("dead-since", t("dead-since", { seconds: Math.round((Date.now() - lastHeardMs) / 1000) }));
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
link.onTrouble = (words) => {
  const told = words ?? t("no-answer");
  if (sheet.isOpen()) return sheet.say(told);
  showTrouble(told, "press");
  setTimeout(() => { if ($("trouble").dataset.from === "press") showTrouble("", ""); }, TROUBLE_MS);
};

/// What became of the last press, in words and a sign, where the eyes are.
let outcomeTimer = null;
let readUntilMs = 0; // What tells that nothing was done stays long enough to be read.
link.onOutcome = ({ kind, words, why, seconds }) => {
  const node = $("outcome");
  if (kind === "slow" && Date.now() < readUntilMs) return;
  if (kind === "wait") readUntilMs = Date.now() + READ_MS;
  clearTimeout(outcomeTimer);
  node.className = kind;
  const what = words ? `${words}: ` : "";
  const told = {
    sending: () => "… " + what + t("sending"),
    slow: () => "… " + what + t("sending-since", { count: seconds }),
    saved: () => "✓ " + what + t("taken"),
    refused: () => "✗ " + what + t("refused", { why: why ?? "" }),
    not_saved: () => "⚠ " + what + t("not-saved", { why: why ?? "" }),
    unknown: () => "⚠ " + what + t("outcome-unknown"),
    wait: () => "… " + t("one-moment", { words }),
    hint: () => "→ " + words,
  }[kind]();
  node.textContent = told;
  if (["refused", "not_saved", "unknown", "wait"].includes(kind) && sheet.isOpen()) sheet.say(told);
  if (["refused", "not_saved", "unknown"].includes(kind)) link.onTrouble(told.slice(2));
  if (kind === "saved") outcomeTimer = setTimeout(() => { if (node.className === "saved") node.textContent = ""; }, TROUBLE_MS);
};

link.onGate = (why) => {
  $("dead").hidden = true;
  $("page").hidden = true;
  $("gate").hidden = false;
  if (sheet.isOpen()) sheet.close();
  $("gate-form").hidden = location.protocol !== "https:";
  text("gate-why", why ? `${why[0].toUpperCase()}${why.slice(1)}. ${t("gate-printed")}` : "");
  if (!$("gate-form").hidden) $("code").focus();
};
$("gate-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const entered = await enter($("code").value).catch(() => t("no-answer"));
  if (entered === true) return reconnect();
  text("gate-trouble", `${t("gate-wrong")} ${entered ? `(${entered})` : ""}`);
});

// ---- doing

/// A tooth was touched in the drawing, a list, or by its number.
function touched(tooth) {
  const visit = link.state?.visit;
  if (!visit) return;
  if (!visit.is_open || looks()) return lookAt(tooth);
  looking = null;
  if (tooth !== visit.tooth) press("choose", { tooth }, String(tooth));
  else show(link.state);
}

function lookAt(tooth) {
  const visit = link.state?.visit;
  if (!visit) return;
  looking = tooth === visit.tooth ? null : tooth;
  show(link.state);
}

const at = () => looking ?? link.state?.visit?.tooth ?? null;

function step(by) {
  // Looking elsewhere, the arrows look on; else they move the work.
  const visit = link.state.visit;
  if (looking !== null) return lookAt(mouth.beside(looking, by));
  if (!visit.is_open) return lookAt(mouth.beside(visit.tooth ?? visit.teeth[0].tooth, by));
  press(by > 0 ? "next" : "previous", undefined, by > 0 ? t("next-tooth") : t("previous-tooth"));
}

const answer = (name) => { if (link.state?.question && Date.now() - askedAtMs > ASK_GUARD_MS) press(name, undefined, t(name)); };
const doIt = {
  confirm: () => {
    if ($("confirm").disabled) return;
    if (link.state.visit.is_open) sheet.confirm(link.state);
    else patient.form(null);
  },
  undo: () => press("undo", undefined, t("undo")),
  note: () => patient.note(at()),
  pause: () => press(link.state?.is_listening ? "pause" : "listen", undefined, t("pause")),
  more,
  yes: () => answer("yes"),
  no: () => answer("no"),
  back: () => step(-1),
  on: () => step(1),
};
for (const [id, action] of Object.entries(doIt)) $(id).addEventListener("click", action);
$("go-there").addEventListener("click", () => {
  const tooth = looking;
  if (tooth) press("choose", { tooth }, String(tooth));
});
$("go-back").addEventListener("click", () => { looking = null; show(link.state); });
$("alerts").addEventListener("click", () => sheet.alerts(link.state, touched));
$("decisions").addEventListener("click", () => sheet.decisions(link.state.visit, touched));
$("checks").addEventListener("click", () => sheet.checks(link.state));
$("procedure").addEventListener("click", () => around.procedure());
$("around").addEventListener("click", () => around.mouth());
$("new-visit").addEventListener("click", () => patient.form(null));
$("rest").addEventListener("click", () => sheet.rest());
$("old-visits").addEventListener("click", () => patient.visits(compareWith));

const compareWith = (visit) => { before = visit; show(link.state); };

function more() {
  const visit = link.state?.visit;
  const item = (key, on, is = true) => (is ? html("button", { class: "glove", on }, t(key)) : null);
  const press_ = (name, key) => () => { press(name, undefined, t(key)); sheet.close(); };
  sheet.open(t("more"), sheet.grid("",
    item("tooth-by-number", () => sheet.pick(visit.teeth.map((tooth) => tooth.tooth), touched), visit?.is_open),
    item("finish-the-visit", () => patient.finish(), visit?.is_open),
    item("what-is-missing", press_("ask_missing", "what-is-missing"), visit?.is_open),
    item("say-again", press_("repeat", "say-again"), visit?.is_open && link.state.has_microphone),
    item("stop-speaking", press_("quiet", "stop-speaking"), visit?.is_open && link.state.has_microphone),
    item("patient", () => patient.form(visit), visit?.is_open),
    item("papers", () => sheet.open(t("papers"), ...after.actions(visit)), Boolean(visit)),
    item("compare-last", () => patient.compare(before, visit), Boolean(visit && before)),
    item("earlier-visits", () => patient.visits(compareWith)),
    item("new-patient", () => patient.form(null), !visit?.is_open),
    item("print-page", () => { sheet.close(); print(); }, Boolean(visit)),
    item(looks() ? "touch-looks" : "touch-works", () => { touchLooks = !looks(); show(link.state); more(); }, visit?.is_open),
    item("wall-view", () => { location.href = "/wall"; }),
    item("own-sayings", ownSayings),
    item("browsers", browsers),
    item("light-or-dark", theme),
    item("keys-title", () => sheet.keys())),
  language === "en" ? null : html("p", { class: "soft" }, t("speech-is-english")));
}

/// What was refused again and again, and the sentence that each may stand for: one touch takes it, a second is sure.
async function ownSayings() {
  const list = await look("/api/sayings");
  if (!list) return;
  const take = (one, means) => async () => {
    if (!means) return sheet.say(t("own-sayings-empty"));
    const answer = await post("/api/sayings/accept", { said: one.said, means });
    if (!answer.ok) return sheet.say((await answer.json().catch(() => ({}))).error ?? t("no-answer"));
    sheet.open(t("own-sayings"), html("p", { class: "told" }, t("own-sayings-taken", { said: one.said, means })),
      sheet.grid("", html("button", { class: "glove", on: ownSayings }, t("own-sayings-more"))));
  };
  const asked = (one) => () => {
    const text = html("input", { id: "own-means", maxlength: "200", value: one.means ?? "", autocomplete: "off" });
    sheet.open(t("own-sayings-of", { said: one.said }), html("div", { class: "hits" }, html("label", { for: "own-means" }, t("own-sayings-means")), text),
      sheet.grid("", html("button", { class: "yes glove", "data-first": true, on: () => take(one, text.value.trim())() }, t("own-sayings-take"))));
  };
  sheet.open(t("own-sayings"), html("p", { class: "soft" }, list.length ? t("own-sayings-what") : t("own-sayings-none")),
    html("div", { class: "hits" }, ...list.map((one) => html("button", { class: "line", on: asked(one) }, one.said,
      html("span", { class: "mark" }, t("own-sayings-count", { count: one.count }))))));
}

/// Who was let in, and how to shut them out.
async function browsers() {
  const list = await look("/api/browsers");
  if (!list) return;
  const shut = (id) => async () => {
    const answer = await post("/api/browsers/shut", { id });
    if (!answer.ok) return sheet.say((await answer.json().catch(() => ({}))).error ?? t("no-answer"));
    browsers();
  };
  const when = (ms) => new Date(ms).toLocaleString(language === "en" ? "en-GB" : language, { dateStyle: "medium", timeStyle: "short" });
  sheet.open(t("browsers"), ...list.map((one) => html("div", { class: "row browser" },
    html("p", { class: "told" }, [one.name || t("browser-unnamed"), one.address, one.seen_ms ? t("browser-seen", { when: when(one.seen_ms) }) : null, one.is_this ? t("browser-this") : null].filter(Boolean).join(", ")),
    one.is_this ? null : html("button", { class: "withdraw", on: shut(one.id) }, t("shut-out")))),
  list.length > 1 ? sheet.grid("", html("button", { class: "withdraw", on: shut(null) }, t("shut-out-others"))) : html("p", { class: "soft" }, t("browser-only-this")));
}

function theme() {
  const dark = root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  root.dataset.theme = dark ? "light" : "dark";
  localStorage.setItem("sulcus-theme", root.dataset.theme);
}

const KEYS = {
  c: doIt.confirm, PageDown: doIt.confirm, u: doIt.undo, PageUp: doIt.undo, y: doIt.yes, x: doIt.no,
  "+": doIt.on, "-": doIt.back, Enter: doIt.on, p: doIt.pause, n: doIt.note, m: doIt.more,
  ArrowRight: () => pad.move(1), ArrowLeft: () => pad.move(-1), ArrowDown: () => pad.move(1), ArrowUp: () => pad.move(-1),
  Backspace: () => pad.withdraw(), a: () => pad.all(), v: () => $("keys").querySelector('[data-key="last"]').click(),
  d: () => pad.show("depths", true), f: () => pad.show("findings", true), e: () => pad.show("decide", true),
  t: () => around.procedure(), o: () => around.mouth(), r: () => press("repeat"), s: () => press("quiet"), l: theme,
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.repeat || !isLive || root.dataset.view === "wall") return;
  if (sheet.isOpen()) {
    // The pedal confirms what the list shows, too.
    if (event.key === "PageDown") { event.preventDefault(); sheet.confirmKey(); }
    return;
  }
  const node = event.target;
  if (node.closest("input, textarea, select")) return;
  const visit = link.state?.visit;
  const figure = /^(?:Digit|Numpad)(\d)$/.exec(event.code);
  if (figure && visit?.is_open && looking === null) {
    event.preventDefault();
    // Else "Enter" would press the figure that was touched last.
    if ($("keys").contains(document.activeElement)) document.activeElement.blur();
    return pad.type(Number(figure[1]) + (event.shiftKey && event.code.startsWith("Digit") ? 10 : 0));
  }
  // Enter on a button that was reached by the keyboard is that button's own; on the pad's figures too.
  if (event.key === "Enter" && node.closest("button, a, [role=button], [role=tab]")) return;
  const action = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  const visitless = action === doIt.more || action === theme;
  const onFinished = action === doIt.confirm || action === doIt.on || action === doIt.back;
  if (!action || (!visit?.is_open && !visitless && !(visit && onFinished))) return;
  event.preventDefault();
  action();
});

// ---- on paper

/// The chart as a table; what nobody confirmed says so.
addEventListener("beforeprint", () => {
  const visit = link.state?.visit;
  if (!visit) return;
  const charted = visit.teeth.filter((tooth) => tooth.is_charted || tooth.done.length);
  const mark = (given) => given.words + (given.is_confirmed ? "" : ` (${t("not-confirmed")})`);
  const list = (title, lines) => (lines.length ? [html("h2", {}, title), html("ul", {}, ...lines.map((line) => html("li", {}, line)))] : []);
  $("paper").replaceChildren(
    html("h1", {}, [visit.patient.name, t(visit.patient.species), visit.patient.weight_g ? `${visit.patient.weight_g / 1000} kg` : null, patient.day(visit.opened_ms), visit.patient.invented ? t("invented-mark") : null].filter(Boolean).join(" · ")),
    visit.unconfirmed_count ? html("p", {}, html("b", {}, "▲ " + t("papers-unconfirmed", { count: visit.unconfirmed_count }))) : "",
    patient.table([t("tooth"), t("charted"), t("decision"), t("done")], charted.map((tooth) => [tooth.tooth,
      patient.words(tooth) + (tooth.unconfirmed_count ? ` (${t("count-not-confirmed", { count: tooth.unconfirmed_count })})` : ""),
      tooth.decision ? mark({ ...tooth.decision, words: tooth.decision.words + (tooth.decision.reason ? `, ${tooth.decision.reason}` : "") }) : "", tooth.done.map(mark).join("; ")])),
    ...list(t("mouth-word"), visit.mouth.map(mark)), ...list(t("procedure"), visit.procedures.map(mark)),
    ...list(t("notes"), visit.notes.map((note) => mark({ ...note, words: `${note.tooth ? note.tooth + ": " : ""}${note.text || t("spoken-note")}` }))),
    ...list(t("addenda"), visit.addenda.map((one) => one.text)));
});

root.dataset.theme = localStorage.getItem("sulcus-theme") ?? "";
if (!root.dataset.theme) delete root.dataset.theme;
start();
