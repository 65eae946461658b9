// Plays one fixed visit of an invented dog by touch alone, counts every touch, and holds the counts against the aims.
// With --write it also writes docs/touches.md.
// Run: cargo build && npm ci --prefix tests/browser && SULCUS_BIN=target/debug/sulcus node tests/browser/touches.mjs --write
//
// Letters typed into a field are no touches; the touch that brings the finger to it is. "Before" is what the same step
// cost on the page of version 0.1.0, by its own steps (a pad that closed after each reading, a sheet for each value).

import assert from "node:assert/strict";
import { writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { Hand, onward, until } from "./steps.mjs";
import { Table, launch } from "./table.mjs";

const AIMS = { six: 7, jaw: 3, ten: 55, visit: 85 };
const SCREENS = [{ name: "large tablet on its side, 1280 x 800", width: 1280, height: 800 }, { name: "tablet upright, 768 x 1024", width: 768, height: 1024 },
  { name: "phone upright, 390 x 844", width: 390, height: 844 }];

const six = (mm) => async (hand) => { for (const one of mm) await hand.key(`mm-${one}`); };
// Played without a pause, no question comes between: what a slow machine brings up so is not counted.
const next = (hand) => onward(hand.page, async (tries) => {
  await hand.touch("#on");
  if (tries > 1) hand.touches -= 1;
});
const grade = (kind, value) => async (hand) => { await hand.tab("findings"); await hand.key(`${kind}-${value}`); };

/// Ten teeth in a row, from the back to the front: [tooth, what the vet says, touches before, how it is done now].
const TEETH = [
  [110, "3 3 4, 3 3 4", 13, [six([3, 3, 4, 3, 3, 4])]],
  [109, "3 4 5, 3 4 5, gingivitis 2", 16, [six([3, 4, 5, 3, 4, 5]), grade("gingivitis", 2)]],
  [108, "4 6 7, 3 4 5, mobility 1, furcation buccal 2, extract for the furcation", 24, [six([4, 6, 7, 3, 4, 5]), grade("mobility", 1), grade("furcation", 2), (hand) => hand.sheet("buccal"),
    async (hand) => { await hand.tab("decide"); await hand.key("extract-furcation"); await hand.yes(); }]],
  [107, "calculus 2", 4, [grade("calculus", 2)]],
  [106, "gingivitis 1", 4, [grade("gingivitis", 1)]],
  [105, "missing", 3, [(hand) => hand.key("absent")]],
  [104, "complicated crown fracture, root canal", 8, [async (hand) => { await hand.tab("findings"); await hand.key("fracture"); await hand.sheet("complicated crown fracture"); await hand.tab("decide"); await hand.key("treat-root_canal"); }]],
  [103, "three all round, gingivitis 2", 16, [async (hand) => { await hand.key("all"); await hand.key("mm-3"); }, grade("gingivitis", 2)]],
  [102, "three all round", 13, [async (hand) => { await hand.key("all"); await hand.key("mm-3"); }]],
  [101, "mid buccal 4, mid palatal 4", 5, [async (hand) => { for (const site of ["buccal", "lingual"]) { await hand.touch(`[data-key="site-${site}"]`); await hand.key("mm-4"); } }]],
];

const mark = (key) => (hand) => hand.touch(`#sheet [data-key="mark-${key}"]`);

async function visit(browser, screen) {
  const table = await Table.open();
  try {
    const context = await browser.newContext({ viewport: { width: screen.width, height: screen.height }, hasTouch: true, reducedMotion: "reduce" });
    const page = await context.newPage();
    await page.goto(table.address);
    await page.waitForSelector("html[data-live=yes]");
    const hand = new Hand(page);
    const parts = [];
    const part = async (words, before, does) => {
      const from = hand.touches;
      await does();
      parts.push({ words, before, now: hand.touches - from });
    };
    const shows = (selector, words) => page.waitForFunction(([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [selector, words]);

    await part("New patient: name and weight typed, species", 3, async () => {
      await hand.touch("#new-visit");
      await page.fill("#name", "Pepper");
      await page.fill("#weight", "12,4");
      await hand.touch(page.locator("#sheet .pick", { hasText: "dog" }));
      await hand.touch('#sheet button[type="submit"]');
      await shows("#patient", "12.4 kg");
    });
    await part("Anaesthesia started, throat pack in, gag in; infraorbital block right, bupivacaine 0.5 ml", 11, async () => {
      await hand.touch("#procedure");
      for (const key of ["anaesthesia_started", "throat_pack_in", "gag_in"]) await mark(key)(hand);
      await hand.sheet("Nerve block…");
      await hand.sheet("Right infraorbital block");
      await hand.sheet(/^Bupivacaine/);
      await hand.sheet("0.5");
    });
    await part("Three points of the check list", 6, async () => {
      await hand.touch("#checks");
      for (let at = 0; at < 3; at += 1) {
        const left = page.locator("#sheet .line:not(:disabled)");
        const count = await left.count();
        await hand.touch(left.first());
        await page.waitForFunction((count) => document.querySelectorAll("#sheet .line:not(:disabled)").length < count, count);
      }
      await hand.touch("#sheet-close");
    });
    await part("To the first tooth", 2, () => next(hand));
    await shows("#tooth-number", "110");

    const tenFrom = hand.touches;
    for (const [tooth, , , steps] of TEETH) {
      await shows("#tooth-number", String(tooth));
      const from = hand.touches;
      for (const step of steps) await step(hand);
      await next(hand);
      parts.push({ words: `${tooth}: ${TEETH.find(([one]) => one === tooth)[1]}; next tooth`, before: TEETH.find(([one]) => one === tooth)[2], now: hand.touches - from });
    }
    const ten = hand.touches - tenFrom;
    const sixAlone = parts.find((one) => one.words.startsWith("110:")).now;

    await part("All other teeth normal", null, async () => {
      await hand.touch("#rest");
      await hand.sheet(/^Whole mouth/);
    });
    await part("A note to the tooth, typed", 2, async () => {
      await hand.touch("#note");
      await page.fill("#note-text", "an invented note");
      await hand.sheet("Save the note");
    });
    await part("All that waits is looked at and confirmed", 1, async () => {
      await hand.touch("#confirm");
      await hand.sheet(/^Confirm all/);
      await page.waitForSelector("#confirm:disabled");
    });
    await part("Gag out, throat pack out, anaesthesia ended; meloxicam with dose, strength, route and time", 9, async () => {
      await hand.touch("#procedure");
      for (const key of ["gag_out", "throat_pack_out", "anaesthesia_ended"]) await mark(key)(hand);
      await hand.sheet("Medicine given…");
      const pick = (words) => hand.touch(page.locator("#sheet .pick", { hasText: words }));
      await pick("Meloxicam");
      await page.fill("#dose", "0.5");
      await pick(/^ml$/);
      await page.fill("#strength", "5");
      await pick("Subcutaneous");
      await hand.touch('#sheet button[type="submit"]');
    });
    await part("Finish", 4, async () => {
      await hand.touch("#more");
      await hand.sheet("Finish the visit");
      await hand.sheet("Yes");
      await until(page, async () => { const { state } = (await import("/link.js")).link; return state.question || !state.visit.is_open; });
      if (await page.locator("#ask").isVisible()) await hand.yes();
      await shows("#awaited", "Finished");
    });
    const whole = hand.touches;

    // A whole normal jaw, on a fresh visit.
    await hand.touch("#confirm");
    await page.fill("#name", "Biscuit");
    await hand.touch(page.locator("#sheet .pick", { hasText: "dog" }));
    await hand.touch('#sheet button[type="submit"]');
    await shows("#patient", "Biscuit");
    const jawFrom = hand.touches;
    await hand.touch("#rest");
    await hand.sheet(/^Upper jaw/);
    await until(page, async () => (await import("/link.js")).link.state.missing.every((tooth) => tooth >= 300));
    const jaw = hand.touches - jawFrom;
    return { parts, six: sixAlone, jaw, ten, visit: whole };
  } finally {
    await table.close();
  }
}

const browser = await launch();
const counted = [];
try {
  for (const screen of SCREENS) {
    const got = await visit(browser, screen);
    counted.push(got);
    console.log(`${screen.name}: six depths and next ${got.six}, a normal jaw ${got.jaw}, ten teeth ${got.ten}, the whole visit ${got.visit}`);
  }
} finally {
  await browser.close();
}
const [first] = counted;
const sum = (parts) => parts.reduce((all, one) => all + (one.before ?? 0), 0);
for (const key of Object.keys(AIMS)) assert.ok(first[key] <= AIMS[key], `${key}: ${first[key]} touches, the aim is ${AIMS[key]}`);

if (process.argv.includes("--write")) {
  const head = SCREENS.map((screen) => screen.name).join(" | ");
  const row = (words, before, now, aim = "") => `| ${words} | ${before ?? "–"} | ${now.join(" | ")} | ${aim} |`;
  const lines = [
    "# Touches", "",
    "One fixed visit of an invented dog, played by touch alone in a real browser by `tests/browser/touches.mjs`, which wrote this page.",
    "A letter typed into a field is no touch; the touch that brings the finger there is. \"Before\" is the same step on the page of version 0.1.0, by its own steps.",
    "The aims are held by `cargo test` on the first screen, where depths, findings and decision lie beside each other; on the others they share a place and a touch goes to the tabs.", "",
    `| what | before | ${head} | aim |`, `|---|---|${SCREENS.map(() => "---|").join("")}---|`,
    row("**Six depths and the next tooth**", 13, counted.map((one) => one.six), AIMS.six),
    row("**A whole normal jaw**", "3 a tooth", counted.map((one) => one.jaw), AIMS.jaw),
    row("**Ten teeth with findings**", TEETH.reduce((all, [, , before]) => all + before, 0), counted.map((one) => one.ten), AIMS.ten),
    row("**The whole visit**", sum(first.parts), counted.map((one) => one.visit), AIMS.visit),
    ...first.parts.map((part, at) => row(part.words, part.before, counted.map((one) => one.parts[at].now))), "",
    "\"All other teeth normal\" was three touches for each tooth before and is left out of its sum there.", "",
  ];
  await writeFile(fileURLToPath(new URL("../../docs/touches.md", import.meta.url)), lines.join("\n"));
  console.log("docs/touches.md");
}
