// What somebody does at the front desk of the archive, in a real browser. SULCUS_ADDRESS and SULCUS_KEY say where, and
// as whom: an owner of a clinic that holds the invented dog and cat, and the cat again under another name.

import assert from "node:assert/strict";
import { violations } from "./steps.mjs";
import { launch } from "./table.mjs";

const browser = await launch();
const page = await (await browser.newContext({ viewport: { width: 1024, height: 768 } })).newPage();
const troubles = [];
page.on("pageerror", (error) => troubles.push(String(error)));
page.on("console", (line) => { if (/Content.Security|Trusted ?Type|Refused to/i.test(line.text())) troubles.push(line.text()); });

const accessible = async (where) => assert.deepEqual(await violations(page), [], where);
const shows = (selector, words) => page.waitForFunction(
  ([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [selector, words]);
const step = async (words, does) => { await does(); console.log("ok: " + words); };

try {
  await step("a wrong key is told, and lets nobody in", async () => {
    await page.goto(process.env.SULCUS_ADDRESS);
    await page.fill("#key", "wrong");
    await page.click("#enter button");
    await shows("#told", "does not know this secret");
    await accessible("the way in");
  });
  await step("a patient is found, and its visits over the tables are there", async () => {
    await page.fill("#key", process.env.SULCUS_KEY);
    await page.click("#enter button");
    await shows("#who", "owner");
    await page.fill("#words", "demo owner");
    await page.click("#search button");
    await page.click("#hits button:has-text('Pixel')");
    await shows("#animal", "Visits, newest first");
    await shows("#animal", "invented");
    await accessible("an animal");
  });
  await step("a report is saved again", async () => {
    const [saved] = await Promise.all([page.waitForEvent("download"), page.click("#animal a:has-text('Report') >> nth=0")]);
    assert.match(saved.suggestedFilename(), /report\.pdf$/);
  });
  await step("two patients are said to be one with a reason, and it is taken back", async () => {
    await page.fill("#animal input >> nth=0", "same chip");
    await page.click("#animal button:has-text('They are one')");
    await shows("#animal h2", " = ");
    await shows("#animal", "same chip");
    await accessible("a merged animal");
    await page.fill("#animal input >> nth=0", "another cat");
    await page.click("#animal button:has-text('They are not one')");
    await page.waitForFunction(() => !document.querySelector("#animal h2").textContent.includes(" = "));
  });
  await step("what is due is listed, and leads to the animal", async () => {
    await page.click("[data-tab=rechecks]");
    await page.fill("#until", "2030-01-01");
    await page.click("#due button");
    await shows("#due-list", "Biscuit");
    await accessible("rechecks");
    await page.click("#due-list button:has-text('Biscuit') >> nth=0");
    await shows("#animal h2", "Biscuit");
  });
  await step("the study table is saved", async () => {
    await page.click("[data-tab=study]");
    await page.check("#with-invented");
    await accessible("study");
    const [saved] = await Promise.all([page.waitForEvent("download"), page.click("#study-file")]);
    assert.equal(saved.suggestedFilename(), "study.csv");
  });
  await step("who did what is read", async () => {
    await page.click("[data-tab=access]");
    await shows("#access-list", "unmerge");
    await accessible("who did what");
  });
  await step("whoever leaves is out", async () => {
    await page.click("#leave");
    await page.waitForSelector("#enter:not([hidden])");
    await page.reload();
    await page.waitForSelector("#enter:not([hidden])");
    assert.equal(await page.textContent("#hits"), "");
  });
  assert.deepEqual(troubles, []);
} finally {
  await browser.close();
}
