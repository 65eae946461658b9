// The line to the program: lets the browser in, follows the state, sends presses, comes back by itself.
// Keeps no state of the visit but the newest one that was shown.
//
// One press is under way at a time: a second one does nothing but say so, except readings of the pad, which wait in
// their order with their place fixed.

import { load } from "./messages.js";

const BEATS_MISSED_MS = 5000; // The program beats every 1.5 s; three missed mean trouble.
const RETRY_MS = [250, 500, 1000, 2000];
// What a hand is on its way to press was on the page at least that long ago.
const SETTLED_MS = 300;
// A wet glove that touches twice means one press.
const DOUBLE_TOUCH_MS = 400;
// As far apart as the two touches of one wet finger come to lie.
const SAME_PLACE_PX = 30;
// From then on it is told how long a press has been under way.
const SLOW_MS = 1000;
// Readings that may wait: one tooth.
const QUEUE_MAX = 6;
// The page shows what was saved by then, or goes on without.
const SHOWN_MS_MAX = 3000;

export const link = {
  words: null,
  state: null,
  clockOffsetMs: 0,
  onState() {},
  onLevel() {},
  onLive() {},
  onGate() {},
  onTrouble() {},
  /// What becomes of a press: sending, slow, saved, refused, not_saved, unknown, wait.
  onOutcome() {},
};

let source = null;
let heardAtMs = 0;
let retries = 0;
let settledLast = 0;
let lastPress = { text: "", atMs: 0 };
let lastTouch = { x: 0, y: 0 };
let underWay = null;
let queue = [];

export async function start() {
  // Whoever touched another place in between meant both, however quick the hand.
  document.addEventListener("click", ({ clientX: x, clientY: y }) => {
    if (Math.hypot(x - lastTouch.x, y - lastTouch.y) > SAME_PLACE_PX) lastPress.atMs = 0;
    lastTouch = { x, y };
  }, true);
  const token = location.hash.slice(1);
  if (token) {
    history.replaceState(null, "", location.pathname);
    await enter(token).catch(() => null);
  }
  setInterval(watch, 500);
  await connect();
}

/// True where it let this browser in; else why not.
export async function enter(secret) {
  const answer = await post("/api/enter", { secret });
  return answer.ok ? true : (await answer.json().catch(() => ({}))).error;
}

async function connect() {
  let answer;
  try {
    await load();
    answer = await fetch("/api/words");
  } catch {
    return retry();
  }
  if (answer.status === 401) {
    return link.onGate((await answer.json()).error);
  }
  if (!answer.ok) return retry();
  link.words = await answer.json();
  source = new EventSource("/api/live");
  source.addEventListener("state", (event) => {
    alive();
    const state = JSON.parse(event.data);
    link.state = state;
    const last = state.visit ? state.visit.last : 0;
    setTimeout(() => { settledLast = Math.max(settledLast, last); }, SETTLED_MS);
    if (!state.visit || last < settledLast) settledLast = last; // Another visit.
    link.onState(state);
  });
  source.addEventListener("level", (event) => { alive(); link.onLevel(Number(event.data)); });
  source.addEventListener("beat", (event) => {
    alive();
    link.clockOffsetMs = Number(event.data) - Date.now();
  });
  source.onerror = dropped;
}

export const reconnect = () => { retries = 0; return connect(); };

function alive() {
  heardAtMs = Date.now();
  retries = 0;
  link.onLive(true, heardAtMs);
}

function dropped() {
  if (source) source.close();
  source = null;
  link.onLive(false, heardAtMs);
  retry();
}

function retry() {
  link.onLive(false, heardAtMs);
  const wait = RETRY_MS[Math.min(retries, RETRY_MS.length - 1)];
  retries += 1;
  setTimeout(connect, wait);
}

function watch() {
  if (source && Date.now() - heardAtMs > BEATS_MISSED_MS) dropped();
}

export function post(path, body) {
  return fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
}

/// Whether a press is under way or waits for its turn; told by the page's root too, for its look.
export const isBusy = () => underWay !== null || queue.length > 0;
const tellBusy = () => { document.documentElement.dataset.busy = isBusy() ? "yes" : "no"; };

/// Sends one wish; true where it was taken. `words` name it for the person.
export async function press(name, content, words = "") {
  const wish = content === undefined ? { do: name } : { do: name, with: content };
  const text = JSON.stringify(wish);
  const now = Date.now();
  if (text === lastPress.text && now - lastPress.atMs < DOUBLE_TOUCH_MS) return false;
  if (underWay || queue.length) {
    link.onOutcome({ kind: "wait", words: underWay?.words ?? "" });
    return false;
  }
  lastPress = { text, atMs: now };
  const { kind } = await send(wish, words);
  return kind === "saved";
}

/// A reading: sent in its turn. `done` hears whether it was saved; where one is not, those behind it are dropped.
export function inTurn(name, content, words, done) {
  if (queue.length >= QUEUE_MAX) {
    link.onOutcome({ kind: "wait", words: underWay?.words ?? "" });
    return false;
  }
  queue.push({ wish: { do: name, with: content }, words, done });
  tellBusy();
  if (queue.length === 1) work();
  return true;
}

async function work() {
  while (queue.length) {
    // One press of another kind may still be under way.
    if (underWay) await underWay.ended;
    const { wish, words, done } = queue[0];
    const { kind, last } = await send(wish, words);
    if (kind === "saved") await shown(last);
    done(kind === "saved");
    queue.shift();
    if (kind !== "saved" || link.state?.question) {
      for (const left of queue) left.done(false);
      queue = [];
    }
  }
  tellBusy();
}

/// The state of the page holds what the answer spoke of.
async function shown(last) {
  const from = Date.now();
  while ((link.state?.visit?.last ?? 0) < last && Date.now() - from < SHOWN_MS_MAX) {
    await new Promise((on) => setTimeout(on, 15));
  }
}

async function send(wish, words) {
  let ended;
  const fromMs = Date.now();
  underWay = { words, ended: new Promise((done) => { ended = done; }) };
  tellBusy();
  link.onOutcome({ kind: "sending", words });
  const slow = setInterval(() => link.onOutcome({ kind: "slow", words, seconds: Math.floor((Date.now() - fromMs) / 1000) }), SLOW_MS);
  let outcome;
  try {
    const answer = await post("/api/press", { seen: settledLast, press: wish });
    const told = await answer.json().catch(() => ({}));
    if (answer.status === 401) link.onGate(told.error);
    outcome = { kind: answer.ok ? "saved" : told.outcome ?? (answer.status === 503 ? "unknown" : "refused"), words, why: told.error, last: told.last ?? 0 };
  } catch {
    outcome = { kind: "unknown", words, last: 0 };
  }
  clearInterval(slow);
  underWay = null;
  tellBusy();
  ended();
  link.onOutcome(outcome);
  return outcome;
}

export async function look(path) {
  try {
    const answer = await fetch(path);
    if (answer.ok) return await answer.json();
    link.onTrouble((await answer.json()).error);
  } catch {
    link.onTrouble(null);
  }
  return null;
}
