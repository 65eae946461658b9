// What a nurse does at the table, in a real browser. Each step is checked; the first that fails ends the run.

import assert from "node:assert/strict";
import { faults, onward, SIZES as ALL_SIZES, still, until, violations } from "./steps.mjs";
import { CAT, DOG, Table, depths, dogVisit, finding, launch, presses } from "./table.mjs";

const SIZES = [{ width: 1280, height: 800 }, { width: 800, height: 1280 }];

const table = await Table.open();
const browser = await launch();
const troubles = [];

async function page(options = {}) {
  const context = await browser.newContext({ viewport: SIZES[0], reducedMotion: "reduce", ...options });
  const page = await context.newPage();
  page.on("pageerror", (error) => troubles.push(String(error)));
  page.on("console", (line) => { if (/Content.Security|Trusted ?Type|Refused to/i.test(line.text())) troubles.push(line.text()); });
  page.on("dialog", (dialog) => { troubles.push("a dialog: " + dialog.message()); dialog.dismiss(); });
  await page.goto(table.address);
  await page.waitForSelector("html[data-live=yes]");
  return page;
}

const step = async (words, does) => { await does(); console.log("ok: " + words); };
const shows = async (page, selector, words) => {
  try {
    await page.waitForFunction(([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [selector, words]);
  } catch (error) {
    throw new Error(`${selector} is to show "${words}"; it shows "${await page.locator(selector).first().textContent()}"`, { cause: error });
  }
};
const cell = (page, site) => page.locator(`[data-key="site-${site}"]`);
const asked = (page) => page.waitForSelector("#ask:not([hidden]):not(.fresh)");
const closed = (page) => page.waitForFunction(() => !document.getElementById("sheet").open);
/// The page shows what the other does, for long enough that a touch means it.
async function settled(page, other) {
  const last = await other.evaluate(async () => (await import("/link.js")).link.state.visit.last);
  await until(page, async (last) => (await import("/link.js")).link.state.visit.last >= last, last);
  await page.waitForTimeout(400);
}
const lag = (page) => page.evaluate(() => Number(document.documentElement.dataset.lagMs));

const accessible = async (page, where) => assert.deepEqual(await violations(page), [], where);
const fits = async (page, where) => assert.deepEqual(await faults(page), [], where);
const pad = (page, key) => page.locator(`#pad [data-key="${key}"]`);
const inSheet = (page, name) => page.locator("#sheet").getByRole("button", { name, exact: typeof name === "string" });
async function confirmAll(page) {
  await still(page);
  await page.click("#confirm");
  await inSheet(page, /^Confirm (all|it)/).click();
  await closed(page);
}
/// All that the page says of presses from now on: what passes quickly is not missed on a slow machine.
const listenToOutcomes = (page) => page.evaluate(() => {
  globalThis.outcomes = [];
  new MutationObserver(() => globalThis.outcomes.push(document.getElementById("outcome").textContent)).observe(document.getElementById("outcome"), { childList: true, characterData: true, subtree: true });
});
const outcomeWas = (page, words) => page.waitForFunction((words) => globalThis.outcomes.some((one) => one.includes(words)), words);
/// As the program under a microphone sends it: nobody listens here, so the page is told so.
const withMicrophone = (page, is) => page.evaluate(async (is) => {
  const { link } = await import("/link.js");
  const show = link.plainShow ?? link.onState;
  link.plainShow = show;
  link.onState = is ? (state) => { link.state = { ...state, has_microphone: true }; show(link.state); } : show;
  link.state = { ...link.state, has_microphone: is };
  show(link.state);
}, is);

try {
  const nurse = await page();
  let machine;

  await step("the token leaves the address bar, and is not needed again", async () => {
    assert.equal(await nurse.evaluate(() => location.href.includes("#")), false);
    await nurse.reload();
    await nurse.waitForSelector("html[data-live=yes]");
  });

  await step("a patient is entered by hand", async () => {
    await nurse.click("#new-visit");
    await accessible(nurse, "patient form");
    await fits(nurse, "patient form");
    await nurse.click("text=Open the visit");
    await shows(nurse, ".patient .trouble", "name is missing");
    await nurse.fill("#name", "Biscuit");
    await nurse.check("input[value=cat]");
    await nurse.fill("#weight", "4,3");
    await nurse.check("#invented");
    await nurse.click("text=Open the visit");
    await shows(nurse, "#patient", "4.3 kg");
    await shows(nurse, "#patient", "INVENTED");
  });

  await step("a second page shows the same, and each sees what the other does", async () => {
    machine = await page();
    await shows(machine, "#patient-name", "Biscuit");
    await presses(nurse, [...depths(107, [1, 1, 2, 1, 1, 1])]);
    await shows(machine, "#tooth-number", "107");
    await shows(machine, '[data-key="site-disto_buccal"]', "2");
  });

  const at = '[data-key="site-disto_buccal"]';

  await step("a value is corrected by touch", async () => {
    await cell(nurse, "disto_buccal").click();
    await shows(nurse, "#pad-title", "107 disto buccal: depth in mm");
    await pad(nurse, "mm-4").click();
    for (const one of [nurse, machine]) await shows(one, at, "4");
    await shows(machine, "#told", "107");
    await shows(machine, `${at} .say`, "4 millimetres, not confirmed, deep");
  });

  await step("confirm confirms what was shown", async () => {
    await nurse.click("#confirm");
    await shows(nurse, "#sheet-title", "6 values wait");
    await shows(nurse, ".waits", "107");
    await accessible(nurse, "confirm");
    await fits(nurse, "confirm");
    // Some of them: a value is left out by a touch.
    await nurse.locator(".wait", { hasText: "Mesio palatal" }).click();
    await inSheet(nurse, "Confirm 5 of 6").click();
    await closed(nurse);
    await shows(nurse, "#confirm-count", "1");
    await shows(machine, '[data-key="site-mesio_lingual"] .say', "not confirmed");
    // One tooth.
    await nurse.click("#confirm");
    await inSheet(nurse, "only this one").click();
    await closed(nurse);
    await nurse.waitForFunction(() => document.getElementById("confirm").disabled);
    await shows(machine, `${at} .say`, ", confirmed");
  });

  await step("one reading is withdrawn by touch, and undo brings it back", async () => {
    await cell(nurse, "disto_buccal").click();
    await pad(nurse, "withdraw").click();
    // It was confirmed: asked first.
    await asked(nurse);
    await shows(nurse, "#ask-text", "Confirmed is");
    await accessible(nurse, "withdraw");
    await nurse.waitForTimeout(900);
    await nurse.click("#yes");
    for (const one of [nurse, machine]) {
      await shows(one, at, "–");
      await shows(one, "#told", "Withdrawn: 107, disto buccal, 4");
    }
    await settled(nurse, machine);
    await nurse.click("#undo");
    for (const one of [nurse, machine]) await shows(one, at, "4");
    await cell(nurse, "disto_buccal").click();
    // What came back waits for its confirmation, so it goes with one touch; the 2 that it had replaced stays gone.
    await pad(nurse, "withdraw").click();
    await shows(machine, at, "–");
    await shows(machine, `${at} .say`, "not read");
  });

  await step("one finding is withdrawn by touch, the others stay", async () => {
    await presses(nurse, [finding(107, "mobility", { grade: 1 }), finding(107, "gingivitis", { grade: 2 })]);
    await nurse.locator(".chip", { hasText: "mobility, 1" }).click();
    await nurse.click("#sheet >> text=Withdraw mobility, 1");
    await machine.waitForFunction(() => !document.getElementById("chips").textContent.includes("mobility"));
    await shows(machine, "#chips", "gingivitis, 2");
    await shows(machine, "#told", "Withdrawn: 107, mobility, 1");
  });

  await step("a value that is gone meanwhile is not withdrawn twice", async () => {
    const entry = await nurse.evaluate(async () => {
      const { visit } = (await import("/link.js")).link.state;
      return visit.teeth.find((tooth) => tooth.tooth === 107).values.find((value) => value.kind === "gingivitis").entry;
    });
    await presses(nurse, [{ do: "withdraw", with: { entry } }]);
    await assert.rejects(presses(nurse, [{ do: "withdraw", with: { entry } }]), /409.*no longer stands/);
  });

  await step("a nerve block is entered by touch, and the sum is held against the ceiling", async () => {
    const block = async (side, volume) => {
      await closed(nurse);
      await nurse.click("#procedure");
      await nurse.click("#sheet >> text=Nerve block…");
      await nurse.click(`#sheet >> text=${side} infraorbital`);
      await shows(nurse, "#sheet-body", "of at most 4.3 mg");
      await nurse.click("#sheet >> text=Bupivacaine");
      await nurse.locator("#sheet").getByRole("button", { name: volume }).click();
    };
    await block("Right", "0.4");
    await shows(machine, "#told", "infraorbital block right, bupivacaine 0.5 percent, 0.40 millilitres, 2 milligrams");
    await block("Left", /^0.5 .*over/);
    // 4.5 mg of 4.3: the vet is asked, nothing is entered yet.
    for (const one of [nurse, machine]) await asked(one);
    await shows(machine, "#ask-text", "ceiling");
    await nurse.waitForTimeout(900);
    await nurse.click("#no");
    await nurse.click("#procedure");
    await shows(nurse, "#sheet-body", "Bupivacaine in all: 0.4 ml (2.0 mg) given of at most 4.3 mg; up to 0.46 ml of 0.5 % left");
    await accessible(nurse, "procedure");
    await fits(nurse, "procedure");
    await nurse.click("#sheet >> text=Nerve block…");
    await nurse.click("#sheet >> text=Left infraorbital");
    await nurse.click("#sheet >> text=Bupivacaine");
    await nurse.click("#sheet >> text=Other volume…");
    for (const figure of ["0", ".", "3", "5"]) await nurse.locator("#sheet").getByRole("button", { name: figure, exact: true }).click();
    await accessible(nurse, "figures");
    await fits(nurse, "figures");
    await nurse.locator("#sheet").getByRole("button", { name: "Enter" }).click();
    await shows(machine, "#told", "infraorbital block left, bupivacaine 0.5 percent, 0.35 millilitres, 1.75 milligrams");
  });

  await step("medicines with dose, strength, route and time, times and counts are entered by touch; one is withdrawn", async () => {
    await closed(nurse);
    await nurse.keyboard.press("t");
    await nurse.click("#sheet >> text=Medicine given…");
    await accessible(nurse, "medicine");
    await fits(nurse, "medicine");
    await nurse.click("#sheet >> text=Meloxicam");
    await nurse.fill("#dose", "0,4");
    await nurse.click('#sheet button[type="submit"]');
    await shows(nurse, "#sheet-trouble", "needs its unit");
    // What was filled in outlives a touch on close, a key and a reload.
    await nurse.keyboard.press("Escape");
    await nurse.reload();
    await nurse.waitForSelector("html[data-live=yes]");
    await nurse.click("#procedure");
    await nurse.click("#sheet >> text=Medicine given…");
    await shows(nurse, "#sheet-trouble", "here again");
    assert.equal(await nurse.inputValue("#dose"), "0,4");
    await nurse.locator("#sheet .pick", { hasText: /^ml$/ }).click();
    await nurse.fill("#strength", "5");
    await nurse.locator("#sheet .pick", { hasText: "Subcutaneous" }).click();
    await nurse.click('#sheet button[type="submit"]');
    // 0.47 mg/kg, above what is published: asked, and the vet stands by it.
    await asked(nurse);
    await shows(nurse, "#ask-text", "Published");
    await nurse.waitForTimeout(900);
    await nurse.click("#yes");
    await shows(machine, "#told", "Meloxicam, 2 milligrams, 0.4 millilitres of 5");
    await closed(nurse);
    await nurse.keyboard.press("t");
    await nurse.click("#sheet >> text=Medicine given…");
    assert.equal(await nurse.inputValue("#dose"), "", "the draft went with the entry");
    await nurse.fill("#other", "an invented drop");
    await nurse.click('#sheet button[type="submit"]');
    await shows(machine, "#procedure", "an invented drop");
    await closed(nurse);
    await nurse.click("#procedure");
    // The sheet stays for the next mark.
    await nurse.click("#sheet >> text=Throat pack in");
    await shows(machine, "#timers", "Throat pack");
    await still(nurse);
    await nurse.click("#sheet >> text=Swabs counted…");
    await inSheet(nurse, "6").click();
    await shows(machine, "#told", "6 swabs counted");
    await closed(nurse);
    await nurse.click("#procedure");
    await nurse.locator("#sheet .line", { hasText: "throat pack in" }).click();
    await inSheet(nurse, "Yes").click();
    await shows(machine, "#told", "Withdrawn: throat pack in");
    await machine.waitForFunction(() => !document.getElementById("timers").textContent.includes("Throat pack"));
  });

  await step("a complication, a sample, what goes home and a decision for the mouth are entered by touch", async () => {
    const from = async (id, ...touches) => {
      await closed(nurse);
      await nurse.click(id);
      for (const words of touches) {
        await accessible(nurse, words);
        await fits(nurse, words);
        await inSheet(nurse, words).click();
      }
    };
    const before = await nurse.evaluate(async () => (await import("/link.js")).link.state.visit.last);
    await from("#procedure", "Complication…", "Bleeding");
    await shows(machine, "#told", "complication, bleeding");
    await from("#procedure", "Done about it…", "Pressure");
    await shows(machine, "#told", "done about it, pressure");
    await from("#procedure", "Owner told…", "By telephone");
    await shows(machine, "#told", "owner told by telephone");
    await from("#procedure", "Owner asked to agree…", "Referral", "Agreed", "In person");
    await shows(machine, "#told", "owner agreed to referral, in person");
    await from("#procedure", "Sample taken…", "Incisional", "Cheek…", "Left");
    await shows(machine, "#told", "sample, pot 1, incisional, left cheek");
    await from("#procedure", "Samples sent…", "10 days");
    await shows(machine, "#told", "1 sample sent, result due in 10 days");
    await from("#procedure", "Care at home…", "Soft food", "2 weeks");
    await shows(machine, "#told", "at home, soft food, 14 days");
    await from("#procedure", "Medicine for home…", "Buprenorphine", "Ml");
    for (const figure of ["0", ".", "2"]) await inSheet(nurse, figure).click();
    for (const words of ["Enter", "Twice a day", "3 days"]) await inSheet(nurse, words).click();
    await shows(machine, "#told", "for home, buprenorphine 0.2 millilitres, twice a day, 3 days");
    await from("#procedure", "Second visit in…", "3 weeks");
    await shows(machine, "#told", "second visit in 3 weeks");
    await from("#around", "Decide for the mouth…", "Tongue…", "Left", "Take a sample", "No reason given");
    await shows(machine, "#told", "left tongue, take a sample");
    // The steps after this one find the visit as it was.
    const entries = await nurse.evaluate(async (before) => {
      const { visit } = (await import("/link.js")).link.state;
      return [...visit.procedures, ...visit.teeth.flatMap((tooth) => tooth.done)].map((done) => done.entry).filter((entry) => entry > before);
    }, before);
    assert.equal(entries.length, 10);
    for (const entry of entries) await presses(nurse, [{ do: "withdraw", with: { entry } }]);
  });

  await step("a gag that stays in a cat is marked, in words and by a sign", async () => {
    await presses(nurse, [{ do: "mark", with: "gag_in" }]);
    await shows(nurse, "#timers", "Mouth gag");
    assert.equal(await nurse.locator("#timers .over").count(), 0);
    // Eleven minutes later. The program's next beat would set the clock right again, so it is held.
    const hold = (ms) => nurse.evaluate(async (ms) => {
      const { link } = await import("/link.js");
      const offset = link.clockOffsetMs;
      Object.defineProperty(link, "clockOffsetMs", ms ? { get: () => offset + ms, set() {}, configurable: true } : { value: 0, writable: true });
    }, ms);
    await hold(11 * 60000);
    await nurse.waitForSelector("#timers .over");
    assert.match(await nurse.locator("#timers .over").textContent(), /▲ Mouth gag, longer than 10 minutes11:/);
    await accessible(nurse, "gag");
    await fits(nurse, "gag");
    await hold(0);
    await presses(nurse, [{ do: "mark", with: "gag_out" }]);
    await nurse.waitForFunction(() => !document.getElementById("timers").textContent.includes("Mouth gag"));
  });

  await step("bite and findings of the mouth are entered by touch", async () => {
    await closed(nurse);
    await nurse.keyboard.press("o");
    await accessible(nurse, "mouth");
    await fits(nurse, "mouth");
    await nurse.click("#sheet >> text=Occlusion class: 2");
    await shows(machine, "#around", "occlusion class, 2");
    await nurse.click("#around");
    await nurse.click("#sheet >> text=Mass…");
    await nurse.click("#sheet >> text=Upper lip");
    await nurse.locator("#sheet").getByRole("button", { name: "Right", exact: true }).click();
    await nurse.locator("#sheet").getByRole("button", { name: "8", exact: true }).click();
    await shows(machine, "#told", "mass, right upper lip, 8 millimetres");
    await shows(machine, "#around", "Mouth 2");
    await nurse.click("#around");
    await nurse.locator("#sheet .line", { hasText: "mass" }).click();
    await nurse.click("#sheet >> text=Yes");
    await shows(machine, "#around", "Mouth 1");
  });

  await step("the lists on the page are those of the program", async () => {
    const words = await nurse.evaluate(async () => (await (await fetch("/api/words")).json()));
    for (const list of ["areas", "sides", "sites", "blocks", "drugs", "medicines", "home_units", "works", "times", "mouth_works", "entrances", "sexes", "decisions"]) {
      assert.ok(words[list].length >= 2, list);
    }
    await nurse.click("#around");
    await nurse.click("#sheet >> text=Ulcer…");
    const shown = await nurse.locator("#sheet-body button").allTextContents();
    assert.deepEqual(shown.map((text) => text.toLowerCase()), words.areas.map((area) => area.words));
    await nurse.keyboard.press("Escape");
  });

  await step("an outlier is asked about; keys answer, the pedal does not", async () => {
    await closed(nurse);
    await cell(nurse, "buccal").click();
    await pad(nurse, "mm-9").click();
    await asked(nurse);
    // While it is open, nothing can be entered past it.
    assert.equal(await pad(nurse, "mm-2").isDisabled(), true);
    await nurse.keyboard.press("2");
    await accessible(nurse, "question");
    // The question stays in sight over what was scrolled: what lies where is looked at from the top.
    await nurse.evaluate(() => document.getElementById("work").scrollTo(0, 0));
    await fits(nurse, "question");
    await nurse.waitForTimeout(900);
    await nurse.keyboard.press("PageDown");
    await nurse.waitForTimeout(300);
    assert.equal(await nurse.locator("#ask").isVisible(), true, "the pedal is no yes");
    await nurse.keyboard.press("x");
    await nurse.waitForSelector("#ask", { state: "hidden" });
    await shows(nurse, '[data-key="site-buccal"]', "1");
  });

  await step("a decision to extract is asked, and confirmed by yes", async () => {
    await still(nurse);
    await pad(nurse, "extract-other").click();
    await inSheet(nurse, "resorption").click();
    await asked(nurse);
    await nurse.waitForTimeout(900);
    await nurse.click("#yes");
    await shows(machine, '[data-key="decision"]', "extract, resorption");
    await shows(machine, "#decisions", "E 1");
  });

  await step("the pad walks from site to site, takes typed figures, all six and the last visit", async () => {
    await still(nurse);
    await onward(nurse, () => nurse.keyboard.press("Enter"));
    await shows(machine, "#tooth-number", "106");
    await shows(nurse, "#pad-title", "106 mesio buccal");
    for (const mm of [1, 2, 3]) await pad(nurse, `mm-${mm}`).click();
    await shows(nurse, "#pad-title", "106 mesio palatal");
    for (const mm of ["2", "1", "1"]) {
      await nurse.keyboard.press(mm);
      await nurse.waitForTimeout(160);
    }
    await shows(nurse, "#pad-title", "All six are read");
    await still(nurse);
    const values = () => machine.evaluate(() => [...document.querySelectorAll("#sites .reading b")].map((node) => node.textContent).join(" "));
    await machine.waitForFunction(() => document.querySelectorAll("#sites .cell.none").length === 0);
    assert.equal(await values(), "1 2 3 2 1 1");
    // All are read: another figure, or a bounce, enters nothing.
    await pad(nurse, "mm-9").click();
    await shows(nurse, "#outcome", "All six are read");
    assert.equal(await values(), "1 2 3 2 1 1");
    // The mark stays where the person put it, however long it takes and whatever comes from elsewhere.
    await cell(nurse, "buccal").click();
    await presses(machine, [finding(104, "mobility", { grade: 1 })]);
    await shows(nurse, "#told", "104");
    await shows(nurse, "#pad-title", "106 mid buccal");
    await nurse.keyboard.press("Shift+2");
    await machine.waitForSelector("#ask:not([hidden])");
    await shows(nurse, "#ask-text", "12");
    await asked(nurse);
    await nurse.waitForTimeout(900);
    await nurse.keyboard.press("x");
    await nurse.waitForSelector("#ask", { state: "hidden" });
    await pad(nurse, "all").click();
    await shows(nurse, "#pad-title", "all six the same");
    await pad(nurse, "mm-1").click();
    await machine.waitForFunction(() => [...document.querySelectorAll("#sites .reading b")].every((node) => node.textContent === "1"));
  });

  await step("a figure touched twice by a bouncing glove is one figure", async () => {
    await still(nurse);
    await nurse.keyboard.press("+");
    await shows(nurse, "#tooth-number", "104");
    await nurse.evaluate(() => {
      const key = document.querySelector('#pad [data-key="mm-2"]');
      key.click();
      key.click();
    });
    await still(nurse);
    await shows(nurse, "#pad-title", "104 mid buccal");
  });

  await step("a second touch while one is under way does nothing else, and says so; waiting is told", async () => {
    await listenToOutcomes(nurse);
    let release;
    const held = new Promise((go) => { release = go; });
    await nurse.route("**/api/press", async (route) => { await held; await route.continue(); }, { times: 1 });
    await nurse.locator('#findings [data-key="mobility-2"]').click();
    await outcomeWas(nurse, "mobility 2: sending");
    await nurse.locator('#findings [data-key="gingivitis-3"]').click();
    await outcomeWas(nurse, "One moment");
    await outcomeWas(nurse, "sending for");
    await accessible(nurse, "slow");
    release();
    await still(nurse);
    await shows(machine, "#told", "104, mobility, 2");
    assert.doesNotMatch(await machine.locator("#chips").textContent(), /gingivitis/);
    // Readings wait in their turn, each with its own place.
    await nurse.route("**/api/press", async (route) => {
      await new Promise((go) => setTimeout(go, 1200));
      await route.continue();
    }, { times: 1 });
    for (const mm of [3, 2, 1]) await pad(nurse, `mm-${mm}`).click();
    assert.equal(await nurse.locator(".cell.waits").count(), 3);
    await still(nurse);
    await machine.waitForFunction(() => [...document.querySelectorAll("#sites .reading b")].map((node) => node.textContent).join(" ") === "2 3 2 1 – –");
  });

  await step("what was not saved, refused or not answered is told as that, and the place waits for it again", async () => {
    const answers = [[500, { error: "the disk is full", outcome: "not_saved" }, "NOT SAVED"], [409, { error: "look, and press again" }, "not entered: look"], [503, { error: "no answer" }, "Look whether it was saved"]];
    for (const [status, body, words] of answers) {
      await nurse.route("**/api/press", (route) => route.fulfill({ status, json: body }), { times: 1 });
      await pad(nurse, "mm-2").click();
      await outcomeWas(nurse, words);
      await shows(nurse, "#trouble", words.slice(0, 10));
      await shows(nurse, "#pad-title", "104 mid palatal");
      assert.equal(await nurse.locator(".cell.waits").count(), 0);
      await nurse.waitForTimeout(200);
    }
    await accessible(nurse, "not saved");
    await fits(nurse, "not saved");
  });

  await step("looking is looking, entering is entering", async () => {
    await still(nurse);
    // Somebody may be speaking: a touch only looks.
    await withMicrophone(nurse, true);
    await shows(nurse, "#touch-mode", "looks only");
    const tooth = async (number) => {
      const crown = await nurse.locator(`[data-tooth="${number}"] .crown`).boundingBox();
      await nurse.mouse.click(crown.x + crown.width / 2, crown.y + crown.height / 2);
    };
    await tooth(204);
    await shows(nurse, "#tooth-number", "204");
    await shows(nurse, "#away-text", "nothing is entered here. The work is at 104");
    await fits(nurse, "looking");
    await accessible(nurse, "looking");
    await shows(machine, "#tooth-number", "104");
    assert.equal(await nurse.locator("#figures").isVisible(), false);
    assert.equal(await cell(nurse, "buccal").isDisabled(), true);
    await nurse.keyboard.press("2");
    await presses(machine, [finding(104, "plaque", { grade: 1 })]);
    // What is entered elsewhere takes nobody's view away.
    await until(nurse, async () => (await import("/link.js")).link.state.said.join().includes("plaque"));
    await shows(nurse, "#tooth-number", "204");
    await nurse.click("#go-there");
    await shows(machine, "#tooth-number", "204");
    await nurse.waitForSelector("#away", { state: "hidden" });
    // Without a microphone a touch goes to work there.
    await withMicrophone(nurse, false);
    await still(nurse);
    await tooth(107);
    await shows(machine, "#tooth-number", "107");
    await still(nurse);
    await presses(nurse, [{ do: "choose", with: { tooth: 204 } }]);
    await shows(nurse, "#tooth-number", "204");
  });

  await step("a finger brings the small teeth near first, and then hits them", async () => {
    for (const { width, height } of [{ width: 390, height: 844 }, { width: 1280, height: 800 }]) {
      const context = await browser.newContext({ viewport: { width, height }, hasTouch: true, reducedMotion: "reduce", storageState: await nurse.context().storageState() });
      const phone = await context.newPage();
      await phone.goto(table.address.split("#")[0]);
      await phone.waitForSelector("html[data-live=yes]");
      await phone.waitForSelector('[data-tooth="101"]');
      // Teeth hit by a touch that lies 5 mm off, in each direction: none is another tooth.
      const near = await phone.evaluate(async () => {
        const shapes = [...document.querySelectorAll("[data-tooth]")].filter((node) => !node.hasAttribute("hidden")).map((node) => Number(node.dataset.tooth));
        return shapes;
      });
      let least = Infinity;
      for (const tooth of [101, 102, 203, 104, 301, 402, 108, 110, 309, 411 - 2]) {
        if (!near.includes(tooth)) continue;
        const crown = phone.locator(`[data-tooth="${tooth}"] .crown`);
        const at = async () => { const box = await crown.boundingBox(); return [box.x + box.width / 2, box.y + box.height / 2]; };
        await crown.scrollIntoViewIfNeeded();
        await phone.touchscreen.tap(...await at());
        if (!(await phone.locator("#zoom-out").isVisible())) continue;
        // The way to the nearest neighbour is what a finger has.
        least = Math.min(least, await phone.evaluate((tooth) => {
          const centre = (node) => { const box = node.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; };
          const [x, y] = centre(document.querySelector(`[data-tooth="${tooth}"] .crown`));
          return Math.min(...[...document.querySelectorAll(`.tooth:not([hidden]):not([data-tooth="${tooth}"]) .crown`)].map(centre).map(([u, v]) => Math.hypot(x - u, y - v)));
        }, tooth));
        const [x, y] = await at();
        await phone.touchscreen.tap(x, y);
        await until(phone, async (tooth) => (await import("/link.js")).link.state.visit.tooth === tooth, tooth);
        await still(phone);
        assert.equal(await phone.locator("#zoom-out").isVisible(), false, "the whole mouth is back");
      }
      console.log(`   ${width} x ${height}: the nearest two teeth lie ${Math.round(least)} px apart when they are touched`);
      if (least < Infinity) assert.ok(least >= 60, `${least}`);
      await context.close();
    }
    await presses(nurse, [{ do: "choose", with: { tooth: 204 } }]);
    await shows(nurse, "#tooth-number", "204");
  });

  await step("keys alone do the work: next tooth, a finding, undo, pause", async () => {
    await nurse.keyboard.press("+");
    await shows(machine, "#tooth-number", "206");
    await still(nurse);
    // In by the keyboard, and the focus stays in the work.
    await nurse.focus('[data-key="gingivitis-2"]');
    await nurse.keyboard.press("Enter");
    await shows(machine, "#chips", "gingivitis");
    await still(nurse);
    assert.equal(await nurse.evaluate(() => document.activeElement.dataset.key), "gingivitis-2");
    await nurse.focus('[data-key="add"]');
    await nurse.keyboard.press("Enter");
    assert.notEqual(await nurse.evaluate(() => document.activeElement.id), "sheet-close", "a sheet opens in its work");
    await nurse.keyboard.press("Escape");
    assert.equal(await nurse.evaluate(() => document.activeElement.dataset.key), "add", "and gives the focus back");
    await nurse.evaluate(() => document.activeElement.blur());
    await settled(nurse, machine);
    await nurse.keyboard.press("u");
    await machine.waitForFunction(() => !document.getElementById("chips").textContent.includes("gingivitis"));
    await still(nurse);
    await nurse.keyboard.press("p");
    await shows(machine, "#ear-word", "No microphone");
    await shows(machine, "#awaited", "Paused");
    await nurse.waitForTimeout(500);
    await nurse.keyboard.press("p");
    await shows(machine, "#awaited", "206");
    // The pedal opens the list, and confirms it.
    await still(nurse);
    await nurse.keyboard.press("PageDown");
    await shows(nurse, "#sheet-title", "wait");
    await nurse.waitForTimeout(450);
    await nurse.keyboard.press("PageDown");
    await closed(nurse);
    await nurse.waitForFunction(() => document.getElementById("confirm").disabled);
  });

  await step("a note is kept as text, script and all", async () => {
    await nurse.click("#note");
    await nurse.fill("#note-text", "<img src=x onerror=alert(1)>");
    // Neither a key nor a reload takes it away.
    await nurse.keyboard.press("Escape");
    await nurse.reload();
    await nurse.waitForSelector("html[data-live=yes]");
    await nurse.click("#note");
    assert.equal(await nurse.inputValue("#note-text"), "<img src=x onerror=alert(1)>");
    await accessible(nurse, "note");
    await fits(nurse, "note");
    await nurse.click("text=Save the note");
    for (const one of [nurse, machine]) await shows(one, "#chips", "<img src=x");
    assert.equal(await machine.locator("#chips img").count(), 0);
  });

  await step("not live is said plainly, and the page comes back by itself after a kill", async () => {
    const before = await nurse.evaluate(async () => (await import("/link.js")).link.state.visit.last);
    // A form that is open stays, with what was typed.
    await machine.click("#note");
    await machine.fill("#note-text", "half a sentence");
    await table.kill();
    for (const one of [nurse, machine]) {
      await one.waitForSelector("html[data-live=no]");
      assert.equal(await one.locator("#dead").isVisible(), true);
      assert.equal(await one.evaluate(() => document.getElementById("page").inert), true, "nothing can be touched");
    }
    await accessible(nurse, "not live");
    await shows(machine, "#sheet-dead", "What you typed stays here");
    assert.equal(await machine.inputValue("#note-text"), "half a sentence");
    const startedMs = Date.now();
    await table.start();
    for (const one of [nurse, machine]) {
      await one.waitForSelector("html[data-live=yes]");
      await shows(one, "#patient-name", "Biscuit");
      assert.equal(await one.locator("#dead").isVisible(), false);
    }
    console.log(`   back ${Date.now() - startedMs} ms after the new start`);
    const after = await nurse.evaluate(async () => (await import("/link.js")).link.state.visit.last);
    assert.equal(after, before, "nothing lost");
    assert.equal(await machine.inputValue("#note-text"), "half a sentence");
    await machine.click("#sheet >> text=To the animal");
    await machine.click("text=Save the note");
    await closed(machine);
    await still(nurse);
    await presses(nurse, [{ do: "next" }]);
    await shows(machine, "#tooth-number", "207");
  });

  await step("a script in the patient's name is shown, not run", async () => {
    await presses(nurse, [{ do: "finish" }, { do: "yes" }]);
    const name = "<script>alert(1)</script><b>";
    await presses(nurse, [{ do: "open_visit", with: { patient: { ...CAT, name }, vet: null, nurse: null } }]);
    await shows(machine, "#patient-name", name);
    await presses(nurse, [finding(104, "mobility", { grade: 1 }), { do: "choose", with: { tooth: 104 } }, { do: "finish" }, { do: "yes" }]);
  });

  await step("a finished visit is only looked at, printed, exported, added to and opened again", async () => {
    await shows(nurse, "#awaited", "Finished");
    for (const id of ["undo", "note", "pause", "procedure", "around"]) assert.equal(await nurse.locator("#" + id).isDisabled(), true, id);
    assert.equal(await nurse.locator(".chip", { hasText: "mobility" }).isDisabled(), true);
    assert.equal(await nurse.locator("#figures").isVisible(), false);
    await nurse.click("#on");
    await shows(nurse, "#tooth-number", "103");
    await nurse.click("#go-back");
    await shows(nurse, "#tooth-number", "104");
    await accessible(nurse, "finished");
    await fits(nurse, "finished");
    const kinds = { "report.pdf": "%PDF", "owner.pdf": "%PDF", "record.json": "{", "record.fhir.json": "{", "record.csv": "visit" };
    for (const [file, starts] of Object.entries(kinds)) {
      const link = nurse.locator(`#after a[href$="/${file}"]`);
      const got = await nurse.evaluate(async (href) => {
        const answer = await fetch(href);
        return { status: answer.status, text: (await answer.text()).slice(0, 40) };
      }, await link.getAttribute("href"));
      assert.equal(got.status, 200, file);
      assert.ok(got.text.toLowerCase().startsWith(starts.toLowerCase()), `${file}: ${got.text}`);
    }
    // On paper stands the chart, and what nobody confirmed says so.
    await nurse.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await nurse.emulateMedia({ media: "print" });
    assert.equal(await nurse.locator("#page").isVisible(), false);
    assert.match(await nurse.locator("#paper").innerText(), /104[^]*mobility, 1[^]*not confirmed/);
    await nurse.emulateMedia({ media: "screen", reducedMotion: "reduce" });

    await nurse.click("#after >> text=Addendum…");
    await accessible(nurse, "addendum");
    await nurse.click("text=Save the addendum");
    await shows(nurse, "#sheet-trouble", "Type the addendum first");
    await nurse.fill("#after-text", "the invented owner was told by telephone");
    await nurse.click("text=Save the addendum");
    await closed(nurse);
    await shows(machine, "#after", "told by telephone");
    await shows(machine, "#awaited", "Finished");
    await still(nurse);
    await nurse.click("#after >> text=Open again…");
    await nurse.fill("#after-text", "a tooth was forgotten");
    await nurse.click("text=Open the visit again");
    await shows(machine, "#pad-title", "104");
    await machine.waitForSelector("#figures", { state: "visible" });
    await presses(machine, [{ do: "finish" }, { do: "yes" }]);
    await shows(nurse, "#awaited", "Finished");
    // The record tells both.
    const csv = await nurse.evaluate(async (href) => (await (await fetch(href)).text()), await nurse.locator('#after a[href$="/record.json"]').getAttribute("href"));
    assert.match(csv, /a tooth was forgotten/);
    assert.match(csv, /told by telephone/);
  });

  await step("the last visit of the animal stands beside today's, and can be searched", async () => {
    await presses(nurse, [{ do: "open_visit", with: { patient: DOG, vet: null, nurse: null } }, ...depths(404, [2, 1, 2, 2, 2, 2]), { do: "finish" }, { do: "yes" }]);
    await presses(nurse, dogVisit());
    await shows(nurse, '[data-key="site-buccal"]', "was 1");
    // As at the last visit: one touch, the values that stood on it.
    await presses(nurse, [{ do: "choose", with: { tooth: 405 } }, { do: "choose", with: { tooth: 404 } }]);
    await shows(nurse, "#tooth-number", "404");
    await shows(nurse, '[data-key="last"]', "2 1 2 2 2 2");
    await nurse.keyboard.press("m");
    await nurse.click("#sheet >> text=Compare with last visit");
    await shows(nurse, "#sheet-body", "deepest 3 mm more");
    await accessible(nurse, "comparison");
    await nurse.keyboard.press("Escape");
    await nurse.keyboard.press("m");
    await nurse.click("#sheet >> text=Earlier visits");
    await nurse.fill("#search", "biscuit cat");
    await nurse.waitForFunction(() => {
      const hits = [...document.querySelectorAll(".hits .line")].map((line) => line.textContent);
      return hits.length === 1 && hits[0].includes("Biscuit");
    });
    await accessible(nurse, "search");
    await nurse.keyboard.press("Escape");
  });

  await step("eight sizes: nothing small, cut, broken or overlapped; light, dark and forced colours without a violation", async () => {
    for (const size of ALL_SIZES) {
      await nurse.setViewportSize(size);
      for (const [look, media] of [["dark", { colorScheme: "dark" }], ["light", { colorScheme: "light" }], ["forced", { colorScheme: "light", forcedColors: "active" }]]) {
        await nurse.emulateMedia({ reducedMotion: "reduce", forcedColors: "none", ...media });
        const where = `${size.name} ${look}`;
        await accessible(nurse, where);
        if (look !== "dark") continue;
        await fits(nurse, where);
        for (const tab of ["findings", "decide", "depths"]) {
          if (!(await nurse.locator("#tabs").isVisible())) break;
          await nurse.click(`#tab-${tab}`);
          await fits(nurse, `${where} ${tab}`);
          await accessible(nurse, `${where} ${tab}`);
        }
        for (const [id, title] of [["more", "More"], ["checks", "Check list"], ["procedure", "Procedure"], ["around", "Mouth"], ["confirm", "wait"], ["note", "Note"], ["rest", "normal"]]) {
          await nurse.click("#" + id);
          await shows(nurse, "#sheet-title", title);
          await accessible(nurse, `${where} ${title}`);
          await fits(nurse, `${where} ${title}`);
          await nurse.keyboard.press("Escape");
        }
      }
    }
    await nurse.emulateMedia({ reducedMotion: "reduce", forcedColors: "none", colorScheme: "light" });
    await nurse.setViewportSize(SIZES[0]);
    const ground = () => nurse.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const before = await ground();
    await nurse.keyboard.press("l");
    assert.notEqual(await ground(), before, "the key changes the theme");
  });

  await step("the view for the wall shows tooth, awaited, last read-back and alarms, and nothing to touch", async () => {
    const wall = await nurse.context().newPage();
    await wall.setViewportSize({ width: 1920, height: 1080 });
    await wall.goto(table.address.split("#")[0] + "wall");
    await wall.waitForSelector("html[data-live=yes]");
    await shows(wall, "#wall-tooth", "404");
    await presses(nurse, [{ do: "mark", with: "throat_pack_in" }, { do: "mark", with: "throat_pack_in" }]);
    await shows(wall, "#wall-told", "throat pack in");
    assert.equal(await wall.locator("button:visible").count(), 0);
    await accessible(wall, "wall");
    await fits(wall, "wall");
    // 2 m away, letters a two-hundredth as high: 10 mm, on a monitor of 24 inches with 1920 columns 36 px.
    const small = await wall.evaluate(() => Math.min(...[...document.querySelectorAll("#wall p, #wall li")].filter((node) => node.textContent.trim()).map((node) => parseFloat(getComputedStyle(node).fontSize))));
    assert.ok(small * 0.72 >= 36, `capital letters of ${small * 0.72} px`);
    await wall.keyboard.press("2");
    await wall.close();
  });

  await step("browsers are listed, and one is shut out from the page", async () => {
    const context = await browser.newContext({ viewport: SIZES[0] });
    const other = await context.newPage();
    await other.goto(table.address);
    await other.waitForSelector("html[data-live=yes]");
    await nurse.keyboard.press("m");
    await nurse.click("#sheet >> text=Who may use this page");
    await shows(nurse, "#sheet-body", "this one");
    await accessible(nurse, "browsers");
    await fits(nurse, "browsers");
    await nurse.click("#sheet >> text=Shut out all others");
    await other.waitForSelector("#gate:not([hidden])");
    await nurse.keyboard.press("Escape");
    assert.equal(await nurse.locator("#live").innerText(), "LIVE");
    await context.close();
    // The second page of this test went with them; it comes in by the address again.
    await machine.goto(table.address);
    await machine.reload();
    await machine.waitForSelector("html[data-live=yes]");
  });

  await step("what is saved is on the page at once", async () => {
    await nurse.setViewportSize(SIZES[0]);
    const lags = [];
    for (let mm = 1; mm <= 15; mm += 1) {
      await presses(nurse, [finding(404, "recession", { mm: 1 + (mm % 5) }, { site: "buccal" })]);
      lags.push(await lag(nurse), await lag(machine));
    }
    lags.sort((a, b) => a - b);
    const at = (share) => lags[Math.min(lags.length - 1, Math.floor(share * lags.length))];
    console.log(`   from commit to page, two pages, full dog: p50 ${at(0.5)} ms, p95 ${at(0.95)} ms, most ${lags.at(-1)} ms of ${lags.length}`);
    // The aim is 300 ms; the bound only catches a page that polls or hangs.
    assert.ok(lags.at(-1) < 5000, `${lags}`);
  });

  await step("what was heard is told with its doubt, in words and signs", async () => {
    // No microphone here: a state as the listening program sends it.
    await nurse.evaluate(async () => {
      const { link } = await import("/link.js");
      const heard = { words: "mobility two", confidence: 0.41, is_doubtful: true, understood: "404, mobility 2", saved: true, is_pressed: false, at_ms: Date.now() };
      link.onState({ ...link.state, heard, has_microphone: true, is_listening: true });
      link.onLevel(-20);
    });
    assert.equal(await nurse.locator("#too-loud").isVisible(), false);
    await shows(nurse, "#heard-mark", "doubtful");
    await shows(nurse, "#heard-words", "“mobility two” (41 % sure)");
    await shows(nurse, "#ear-word", "Listening");
    assert.equal(await nurse.getAttribute("#level", "aria-valuenow"), "-20");
    assert.equal(await nurse.locator("#touch-mode").isVisible(), true);
    await nurse.evaluate(async () => {
      const { link } = await import("/link.js");
      const state = structuredClone(link.state);
      Object.assign(state.visit.teeth.find((tooth) => tooth.tooth === 404).values[0], { is_doubtful: true, is_confirmed: false, confidence: 0.41 });
      link.state = { ...state, has_microphone: true };
      link.onState(link.state);
      link.onLevel(-1);
    });
    assert.equal(await nurse.locator("#too-loud").isVisible(), true);
    assert.match(await nurse.locator('[data-tooth="404"]').getAttribute("aria-label"), /1 doubtful/);
    await nurse.waitForSelector("#sites .cell.doubt, #chips .chip.doubt");
    await accessible(nurse, "doubt");
    await fits(nurse, "doubt");
  });

  await step("another machine comes in by TLS and the pairing code", async () => {
    const open = await Table.open(["--open-to-network"]);
    try {
      const context = await browser.newContext({ viewport: SIZES[1], ignoreHTTPSErrors: true });
      const tablet = await context.newPage();
      await tablet.goto(open.address);
      await tablet.waitForSelector("#gate-form:not([hidden])");
      await accessible(tablet, "way in");
      await fits(tablet, "way in");
      await tablet.setViewportSize({ width: 390, height: 844 });
      await accessible(tablet, "way in, phone");
      await fits(tablet, "way in, phone");
      await tablet.fill("#code", "1234");
      await tablet.click("text=Let me in");
      await shows(tablet, "#gate-trouble", "does not let you in");
      await tablet.fill("#code", open.code);
      await tablet.click("text=Let me in");
      await tablet.waitForSelector("html[data-live=yes]");
      await tablet.waitForSelector("#empty:not([hidden])");
      await fits(tablet, "no visit");
      await accessible(tablet, "no visit");
    } finally {
      await open.close();
    }
  });

  assert.deepEqual(troubles, []);
} catch (error) {
  // What stood on the pages when it went wrong.
  console.log(error, troubles);
  for (const context of browser.contexts()) for (const page of context.pages()) {
    console.log(await page.evaluate(async () => {
      const { state } = (await import("/link.js")).link;
      const text = (id) => document.getElementById(id)?.textContent;
      return JSON.stringify({ live: document.documentElement.dataset.live, busy: document.documentElement.dataset.busy, outcome: text("outcome"), trouble: text("trouble"), tooth: text("tooth-number"),
        sheet: document.getElementById("sheet").open && text("sheet-title"), focus: document.activeElement.id || document.activeElement.dataset.key, said: state?.said, question: state?.question });
    }).catch(String));
  }
  throw error;
} finally {
  await browser.close();
  await table.close();
}
