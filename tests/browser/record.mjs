// The rest of the record by touch, as a person at the table enters it: drugs with what is asked about them, batches,
// kinds of flap, decisions for the mouth and for groups of teeth, and the vet's signature. Afterwards the journal says
// what was entered.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { Hand, SIZES, faults, still, until, violations } from "./steps.mjs";
import { CAT, Table, depths, launch, presses } from "./table.mjs";

const table = await Table.open();
const browser = await launch();
const step = async (words, does) => { await does(); console.log("ok: " + words); };

/// A command beside the page, as somebody types it.
const command = (words, typed) => new Promise((done, failed) => {
  const child = spawn(process.env.SULCUS_BIN, ["--data", table.data, ...words], { stdio: ["pipe", "pipe", "inherit"] });
  let told = "";
  child.stdout.on("data", (bytes) => { told += bytes; });
  child.on("exit", (code) => (code === 0 ? done(told) : failed(new Error(`${words.join(" ")} ended with ${code}: ${told}`))));
  child.stdin.end(typed);
});

try {
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 }, reducedMotion: "reduce" })).newPage();
  page.on("pageerror", (error) => { throw error; });
  await page.goto(table.address);
  await page.waitForSelector("html[data-live=yes]");
  const hand = new Hand(page);
  const shows = async (selector, words) => {
    try {
      await page.waitForFunction(([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [selector, words], { timeout: 15000 });
    } catch {
      throw new Error(`${selector} never showed "${words}", but: ${await page.locator(selector).textContent()}`);
    }
  };
  const closed = () => page.waitForFunction(() => !document.getElementById("sheet").open);
  const answer = async (button, words) => {
    await page.waitForSelector("#ask:not([hidden]):not(.fresh)");
    await shows("#ask-text", words);
    await hand.touch(button);
    await page.waitForSelector("#ask", { state: "hidden" });
  };
  const looks = async (where) => {
    assert.deepEqual(await violations(page), [], where);
    for (const { width, height } of [SIZES[0], SIZES[5]]) {
      await page.setViewportSize({ width, height });
      assert.deepEqual(await faults(page), [], `${where} at ${width} x ${height}`);
    }
    await page.setViewportSize({ width: 1280, height: 800 });
  };
  /// From a tile of the page down through its sheets.
  const from = async (id, ...touches) => {
    await closed();
    await hand.touch(id);
    for (const words of touches) await hand.sheet(words);
  };
  const pick = (name, words) => hand.touch(page.locator(`#sheet [data-picks="${name}"] .pick`, { hasText: words }));
  const submit = () => hand.touch('#sheet button[type="submit"]');
  const watched = () => page.evaluate(async () => (await import("/link.js")).link.state.strip);

  await presses(page, [{ do: "open_visit", with: { patient: CAT, vet: "Dr Example", nurse: "N Example" } }, { do: "mark", with: "anaesthesia_started" },
    ...depths(104, [1, 1, 1, 1, 1, 1])]);

  await step("a drug of the form is an entry of the drug log, worked out from either amount", async () => {
    await from("#procedure", "Medicine given…");
    await looks("medicine");
    await pick("medicine", /^Methadone/);
    await shows("#sheet-body", "Strength on the shelf: 10 mg/mL");
    await page.fill("#dose", "0,13");
    await submit();
    await shows("#sheet-trouble", "needs its unit");
    await pick("unit", /^ml$/);
    await shows("#sheet-body", "1.3 mg · 0.13 ml");
    await pick("route", "Intramuscular");
    await pick("by", "Nurse");
    await page.fill("#batch", "c 1247");
    await submit();
    await shows("#told", "Methadone, 1.3 milligrams, 0.13 millilitres of 10");
    await shows("#told", "batch C1247".toLowerCase());
  });

  await step("a controlled drug wants its witness, and what is left of it is thrown away before one", async () => {
    await closed();
    await shows("#strip", "Witness");
    await hand.touch(page.locator("#strip").getByRole("button", { name: /Witness/ }));
    await looks("witness");
    await hand.sheet("Vet");
    await until(page, async () => (await import("/link.js")).link.state.strip.unwitnessed === 0);
    await closed();
    await hand.touch(page.locator("#strip").getByRole("button", { name: /Vital signs/ }));
    await looks("anaesthetic");
    await hand.sheet("Thrown away…");
    await hand.sheet("Methadone…");
    await page.fill("#wasted", "0.87");
    await hand.sheet("ml");
    await until(page, async () => (await import("/link.js")).link.state.strip.drugs.some((line) => line.text.includes("wasted: methadone 8.7 mg")));
  });

  await step("a tenfold slip, a repeated dose, two strengths, none and a volume beyond the syringe are asked or refused", async () => {
    const given = async (drug, amount, unit, more = async () => {}) => {
      await from("#procedure", "Medicine given…");
      await pick("medicine", drug);
      await page.fill("#dose", amount);
      await pick("unit", unit);
      await more();
      await submit();
    };
    await given(/^Meloxicam/, "10", /^mg$/);
    await answer("#no", "Ten times too much");
    // However quick the hand: other places were touched in between, so the second is no double touch.
    await page.evaluate(() => { const now = Date.now(); globalThis.clockOfOld = Date.now; Date.now = () => now; });
    await given(/^Meloxicam/, "1", /^mg$/, () => page.fill("#time", ""));
    await shows("#told", "Meloxicam, 1 milligrams, 0.2 millilitres of 5");
    await given(/^Meloxicam/, "1", /^mg$/, () => page.fill("#time", ""));
    await page.evaluate(() => { Date.now = globalThis.clockOfOld; });
    await answer("#no", "Given again");
    await given(/^Buprenorphine/, "20", /^µg$/);
    await shows("#sheet-trouble", "which strength");
    await hand.touch("#sheet-close");
    await given(/^Buprenorphine/, "20", /^µg$/, () => pick("bottle", "0.3 mg/mL"));
    await shows("#told", "Buprenorphine, 20 micrograms, 0.067 millilitres of 0.3");
    await given(/^Maropitant/, "99", /^ml$/);
    await shows("#sheet-trouble", "syringe");
    await hand.touch("#sheet-close");
    await from("#procedure", "Medicine given…");
    await page.fill("#other", "An invented drop");
    await page.fill("#dose", "2");
    await pick("unit", /^mg$/);
    await submit();
    await shows("#sheet-trouble", "trength");
    await page.fill("#strength", "4");
    await submit();
    await shows("#told", "An invented drop, 2 milligrams, 0.5 millilitres of 4");
    assert.equal((await watched()).drugs.filter((line) => line.is_drug).length, 4);
  });

  await step("the batch of a drug that was entered is added to that drug", async () => {
    await closed();
    await hand.touch(page.locator("#strip").getByRole("button", { name: /Vital signs/ }));
    await hand.sheet("Batch number…");
    await looks("batch of which");
    await hand.sheet(/meloxicam/);
    await looks("batch");
    for (const digit of ["8", "8", "0"]) await hand.sheet(digit);
    await hand.sheet("Enter");
    await until(page, async () => (await import("/link.js")).link.state.strip.drugs.some((line) => line.drug === "meloxicam" && line.batch === "880"));
  });

  await step("a vital sign, a sign of depth and a step are entered by touch, with their names as the voice says them", async () => {
    const enter = async (...touches) => {
      await closed();
      await hand.touch(page.locator("#strip").getByRole("button", { name: /Vital signs/ }));
      for (const words of touches) await hand.sheet(words);
    };
    await enter("Heart rate…");
    await looks("figure");
    for (const words of ["1", "4", "0", "Enter"]) await hand.sheet(words);
    await shows("#strip", "140");
    await enter("Jaw tone…", "Loose");
    await shows("#strip", "loose");
    await enter("ASA status…", "ASA II");
    await enter("Tube in…", "4", ".", "5", "Enter");
    await until(page, async () => (await import("/link.js")).link.state.strip.course.some((line) => line.text === "tube in, 4.5 mm"));
  });

  await step("the kind of a flap and the batch of a graft are entered at their tooth", async () => {
    const work = async (...touches) => {
      await closed();
      await hand.tab("decide");
      await hand.touch(page.locator("#decide").getByRole("button", { name: "Work done…" }));
      for (const words of touches) await hand.sheet(words);
    };
    await presses(page, [{ do: "choose", with: { tooth: 104 } }]);
    await work("flap raised…");
    await looks("flap");
    await hand.sheet("pedicle");
    await shows("#told", "pedicle flap raised");
    await work("treated…", "bone graft");
    await work("Batch of the graft…");
    await page.fill("#batch-text", "G77");
    await hand.sheet("Enter");
    await shows("#told", "graft batch G 7 7");
  });

  await step("the mouth, a part of it and groups of teeth are decided for, with a reason where there is one", async () => {
    await from("#around", "Decide for the mouth…", "Whole mouth", "Refer", "No reason given");
    await shows("#told", "refer");
    await from("#around", "Decide for the mouth…", "Tongue…", "Left", "Take a sample", "No reason given");
    await shows("#told", "left tongue, take a sample");
    await from("#around", "Decide for a group of teeth…");
    await looks("group");
    await hand.sheet("Upper right…");
    await looks("class");
    for (const words of ["Incisors", "Monitor"]) await hand.sheet(words);
    await looks("reason");
    await hand.sheet("No reason given");
    await shows("#told", "3 teeth");
    await from("#around", "Decide for a group of teeth…", "From one tooth to another…", /^4 /, "407", /^4 /, "409", "Extract", "Resorption");
    await answer("#yes", "Extract 3 teeth");
    await shows("#told", "407");
  });

  await step("the vet signs the finished visit by name and PIN, and what comes after is told", async () => {
    await command(["sign", "--enrol", "Dr Example"], "4711\n");
    await closed();
    await hand.touch("#more");
    await hand.sheet("Finish the visit");
    await hand.sheet("Yes");
    await until(page, async () => { const { state } = (await import("/link.js")).link; return state.question || !state.visit.is_open; });
    if (await page.locator("#ask").isVisible()) await hand.yes();
    await shows("#after", "Not signed");
    await looks("not signed");
    const sign = async () => {
      await hand.touch(page.locator("#after").getByRole("button", { name: "Sign…" }));
      await looks("unconfirmed");
      await hand.sheet("Sign anyway…");
      await looks("who signs");
      await hand.sheet("Dr Example…");
    };
    await sign();
    await looks("PIN");
    await page.fill("#pin", "1234");
    await hand.sheet("Sign");
    await shows("#sheet-trouble", "not that of Dr Example");
    assert.equal(await page.inputValue("#pin"), "", "a PIN stays nowhere");
    for (const digit of ["4", "7", "1", "1"]) await hand.sheet(digit);
    await hand.sheet("Sign");
    await shows("#after", "✓ Signed by Dr Example");
    await hand.touch(page.locator("#after").getByRole("button", { name: "Addendum…" }));
    await page.fill("#after-text", "an invented addendum");
    await hand.sheet("Save the addendum");
    await shows("#after", "one entry after it is not signed");
    await closed();
    await sign();
    await page.fill("#pin", "4711");
    await hand.sheet("Sign");
    await shows("#after", "✓ Signed by Dr Example");
    await still(page);
  });

  await step("the journal holds what was touched", async () => {
    await table.kill();
    const record = JSON.parse(await command(["export", "last", "--format", "json"], ""));
    const drugs = record.anaesthetic.drugs.map((one) => [one.drug, one.dose_mg, one.volume_ml, one.strength_mg_per_ml, one.route, one.given_by, one.witness, one.batch]);
    assert.deepEqual(drugs, [
      ["methadone", 1.3, 0.13, 10, "intramuscular", "nurse", "vet", "c1247"],
      ["meloxicam", 1, 0.2, 5, null, null, null, "880"],
      ["buprenorphine", 0.02, 0.067, 0.3, null, null, null, null],
      ["an invented drop", 2, 0.5, 4, null, null, null, null],
    ]);
    assert.deepEqual(record.anaesthetic.wasted.map((one) => [one.drug, one.dose_mg]), [["methadone", 8.7]]);
    // What was refused by a no is a question on record, and no drug.
    const questions = record.challenges.map((one) => [one.rule, one.accepted]);
    assert.deepEqual(questions.slice(0, 2), [["drug_tenfold", false], ["drug_repeated", false]]);
    assert.deepEqual(record.anaesthetic.readings.map((one) => one.text), ["heart rate 140/min", "jaw tone loose"]);
    const done = record.procedures.map((one) => one.text ?? JSON.stringify(one)).join("\n");
    for (const words of ["pedicle", "graft", "G77"]) assert.match(done, new RegExp(words));
    assert.deepEqual(record.mouth_decisions.length, 2);
    const decided = record.decisions.map((one) => one.tooth).sort();
    assert.deepEqual(decided, [101, 102, 103, 407, 408, 409]);
    assert.deepEqual(record.visit.signed_by.map((one) => one.name), ["Dr Example", "Dr Example"]);
    assert.match(await command(["verify"], ""), /./);
  });
} finally {
  await browser.close();
  await table.close();
}
