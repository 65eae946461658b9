// The line to the program: lets the browser in, follows the state, sends presses, comes back by itself.
// Keeps no state of the visit but the newest one that was shown.

const BEATS_MISSED_MS = 5000; // The program beats every 1.5 s; three missed mean trouble.
const RETRY_MS = [250, 500, 1000, 2000];
// What a hand is on its way to press was on the page at least that long ago.
const SETTLED_MS = 300;
// A wet glove that touches twice means one press.
const DOUBLE_TOUCH_MS = 400;

export const link = {
  words: null,
  state: null,
  clockOffsetMs: 0,
  onState() {},
  onLevel() {},
  onLive() {},
  onGate() {},
  onTrouble() {},
};

let source = null;
let heardAtMs = 0;
let retries = 0;
let settledLast = 0;
let lastPress = { text: "", atMs: 0 };

export async function start() {
  const token = location.hash.slice(1);
  if (token) {
    history.replaceState(null, "", location.pathname);
    await enter(token);
  }
  setInterval(watch, 500);
  await connect();
}

export async function enter(secret) {
  const answer = await post("/api/enter", { secret });
  return answer.ok;
}

async function connect() {
  let answer;
  try {
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

function post(path, body) {
  return fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
}

/// Sends one wish; true where it was taken.
export async function press(name, content) {
  const wish = content === undefined ? { do: name } : { do: name, with: content };
  const text = JSON.stringify(wish);
  const now = Date.now();
  if (text === lastPress.text && now - lastPress.atMs < DOUBLE_TOUCH_MS) return false;
  lastPress = { text, atMs: now };
  try {
    const answer = await post("/api/press", { seen: settledLast, press: wish });
    const told = await answer.json().catch(() => ({}));
    if (answer.ok) return true;
    if (answer.status === 401) link.onGate(told.error);
    // Understood, and not saved: what stands in the alarm says it, and what becomes of it.
    if (answer.status === 507) link.onTrouble("NOT SAVED: " + (told.error || "the disk does not take it"));
    else link.onTrouble("Not done: " + (told.error || "the program does not answer"), answer.status === 409 ? "refused" : "");
  } catch {
    link.onTrouble("Not done: the program does not answer");
  }
  return false;
}

export async function look(path) {
  try {
    const answer = await fetch(path);
    if (answer.ok) return await answer.json();
    link.onTrouble((await answer.json()).error);
  } catch {
    link.onTrouble("The program does not answer");
  }
  return null;
}
