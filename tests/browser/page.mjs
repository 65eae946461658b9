// What a nurse does at the table, in a real browser. Each step is checked; the first that fails ends the run.

import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { CAT, DOG, Table, depths, dogVisit, finding, launch, presses } from "./table.mjs";

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const SIZES = [{ width: 1280, height: 800 }, { width: 800, height: 1280 }];
const TOUCH_MM = 15;
const PX_PER_MM = 96 / 25.4; // CSS

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
const shows = (page, selector, words) => page.waitForFunction(
  ([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [selector, words]);
const cell = (page, site) => page.locator(`[data-key="site-${site}"]`);
const asked = (page) => page.waitForSelector("#ask:not([hidden]):not(.fresh)");
const closed = (page) => page.waitForFunction(() => !document.getElementById("sheet").open);
/// The page shows what the other does, for long enough that a touch means it.
async function settled(page, other) {
  const last = await other.evaluate(async () => (await import("/link.js")).link.state.visit.last);
  await page.waitForFunction(async (last) => (await import("/link.js")).link.state.visit.last >= last, last);
  await page.waitForTimeout(400);
}
const lag = (page) => page.evaluate(() => Number(document.documentElement.dataset.lagMs));

/// Axe finds nothing serious.
async function accessible(page, where) {
  // Through the debugger, since the page's policy lets no foreign script in.
  const { readFile } = await import("node:fs/promises");
  await page.evaluate(await readFile(AXE, "utf8"));
  const found = await page.evaluate(async () => {
    const result = await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
    return result.violations.map((one) => `${one.impact} ${one.id}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 4).join(" | ")}`);
  });
  const serious = found.filter((line) => /^(serious|critical)/.test(line));
  assert.deepEqual(serious, [], where);
  for (const line of found) console.log(`   axe, ${where}: ${line}`);
}

/// All that is touched is large enough, and nothing runs over the edge of the screen.
async function fits(page, where) {
  const found = await page.evaluate((px) => {
    const small = [];
    for (const node of document.querySelectorAll("button, input:not([type=radio]):not([type=checkbox]), select, textarea, .pick")) {
      const box = node.getBoundingClientRect();
      if (box.width && (box.height < px - 0.5 || box.width < px - 0.5)) small.push(`${node.id || node.textContent}: ${box.width} x ${box.height}`);
    }
    const root = document.documentElement;
    const over = root.scrollWidth > root.clientWidth || document.body.scrollHeight > root.clientHeight;
    return { small, over };
  }, TOUCH_MM * PX_PER_MM);
  assert.deepEqual(found.small, [], where);
  assert.equal(found.over, false, where);
}

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
    await nurse.locator("#sheet").getByRole("button", { name: "4", exact: true }).click();
    for (const one of [nurse, machine]) await shows(one, at, "4");
    await shows(machine, "#told", "107");
    await shows(machine, `${at} .say`, "4 millimetres, not confirmed, deep");
  });

  await step("confirm confirms what was shown", async () => {
    await settled(nurse, machine);
    await nurse.click("#confirm");
    await nurse.waitForFunction(() => document.getElementById("confirm").disabled);
    await shows(machine, `${at} .say`, ", confirmed");
  });

  await step("one reading is withdrawn by touch, and undo brings it back", async () => {
    await cell(nurse, "disto_buccal").click();
    await nurse.click("#sheet >> text=Withdraw depth 4");
    // It was confirmed: asked first.
    await shows(nurse, "#sheet-title", "was confirmed");
    await accessible(nurse, "withdraw");
    await nurse.click("#sheet >> text=Yes");
    for (const one of [nurse, machine]) {
      await shows(one, at, "–");
      await shows(one, "#told", "Withdrawn: 107, disto buccal, 4");
    }
    await settled(nurse, machine);
    await nurse.click("#undo");
    for (const one of [nurse, machine]) await shows(one, at, "4");
    await cell(nurse, "disto_buccal").click();
    // What came back waits for its confirmation, so it goes with one touch; the 2 that it had replaced stays gone.
    await nurse.click("#sheet >> text=Withdraw depth 4");
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
      await nurse.click("#procedure");
      await nurse.click("#sheet >> text=Nerve block…");
      await nurse.click(`#sheet >> text=${side} infraorbital`);
      await shows(nurse, "#sheet-body", "of at most 4.3 mg");
      await nurse.click("#sheet >> text=Bupivacaine");
      await nurse.locator("#sheet").getByRole("button", { name: volume }).click();
    };
    await block("Right", "0.4");
    await shows(machine, "#told", "infraorbital block right, bupivacaine 0.40 millilitres");
    await block("Left", /^0.5 .*over/);
    // 4.5 mg of 4.3: the vet is asked, nothing is entered yet.
    for (const one of [nurse, machine]) await asked(one);
    await shows(machine, "#ask-text", "over the ceiling");
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
    await shows(machine, "#told", "infraorbital block left, bupivacaine 0.35 millilitres");
  });

  await step("medicines, times and counts are entered by touch; one is withdrawn", async () => {
    await nurse.click("#procedure");
    await nurse.click("#sheet >> text=Medicine given…");
    await nurse.click("#sheet >> text=Meloxicam");
    await shows(machine, "#told", "meloxicam given");
    await closed(nurse);
    await nurse.keyboard.press("t");
    await nurse.click("#sheet >> text=Medicine given…");
    await nurse.fill("#medicine-other", "an invented drop");
    await nurse.click("#sheet >> text=Enter the other");
    await shows(machine, "#procedure", "an invented drop given");
    await nurse.click("#procedure");
    await nurse.click("#sheet >> text=Throat pack in");
    await shows(machine, "#timers", "Throat pack");
    await nurse.click("#procedure");
    await nurse.click("#sheet >> text=Swabs counted…");
    await nurse.locator("#sheet").getByRole("button", { name: "6", exact: true }).click();
    await shows(machine, "#told", "6 swabs counted");
    await nurse.click("#procedure");
    await nurse.locator("#sheet .line", { hasText: "throat pack in" }).click();
    await nurse.click("#sheet >> text=Yes");
    await shows(machine, "#told", "Withdrawn: throat pack in");
    await machine.waitForFunction(() => !document.getElementById("timers").textContent.includes("Throat pack"));
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
    for (const list of ["areas", "sides", "blocks", "drugs", "medicines", "works", "times", "mouth_works", "entrances", "sexes", "decisions"]) {
      assert.ok(words[list].length >= 2, list);
    }
    await nurse.click("#around");
    await nurse.click("#sheet >> text=Ulcer…");
    const shown = await nurse.locator("#sheet-body button").allTextContents();
    assert.deepEqual(shown.map((text) => text.toLowerCase()), words.areas.map((area) => area.words));
    await nurse.keyboard.press("Escape");
  });

  await step("an outlier is asked about; keys answer, the pedal does not", async () => {
    await cell(nurse, "buccal").click();
    await nurse.locator("#sheet").getByRole("button", { name: "9", exact: true }).click();
    await asked(nurse);
    await accessible(nurse, "question");
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
    await nurse.click('[data-key="decide"]');
    await nurse.click("#sheet >> text=Extract");
    await nurse.click("#sheet >> text=resorption");
    await asked(nurse);
    await nurse.waitForTimeout(900);
    await nurse.click("#yes");
    await shows(machine, '[data-key="decide"]', "extract, resorption");
    await shows(machine, "#decisions", "E 1");
  });

  await step("looking at another tooth leaves the voice where it is", async () => {
    const crown = await nurse.locator('[data-tooth="204"] .crown').boundingBox();
    await nurse.mouse.click(crown.x + crown.width / 2, crown.y + crown.height / 2);
    await shows(nurse, "#tooth-number", "204");
    await shows(nurse, "#away-text", "Voice is at 107");
    await fits(nurse, "looking");
    await shows(machine, "#tooth-number", "107");
    await cell(nurse, "buccal").click();
    await nurse.locator("#sheet").getByRole("button", { name: "1", exact: true }).click();
    await shows(nurse, "#told", "204");
    await shows(machine, "#tooth-number", "107");
    await nurse.click("#go-there");
    await shows(machine, "#tooth-number", "204");
    await nurse.waitForSelector("#away", { state: "hidden" });
  });

  await step("keys alone do the work: next tooth, a finding, undo, pause", async () => {
    await nurse.keyboard.press("+");
    await shows(machine, "#tooth-number", "206");
    await nurse.focus('[data-key="add"]');
    await nurse.keyboard.press("Enter");
    await nurse.locator("#sheet").getByRole("button", { name: "gingivitis" }).focus();
    await nurse.keyboard.press("Enter");
    await nurse.locator("#sheet").getByRole("button", { name: "2", exact: true }).focus();
    await nurse.keyboard.press("Enter");
    await shows(machine, "#chips", "gingivitis");
    await settled(nurse, machine);
    await nurse.keyboard.press("u");
    await machine.waitForFunction(() => !document.getElementById("chips").textContent.includes("gingivitis"));
    await nurse.keyboard.press("p");
    await shows(machine, "#awaited", "Paused");
    await nurse.waitForTimeout(500);
    await nurse.keyboard.press("p");
    await shows(machine, "#awaited", "206");
  });

  await step("a note is kept as text, script and all", async () => {
    await nurse.click("#note");
    await nurse.fill("#note-text", "<img src=x onerror=alert(1)>");
    await nurse.click("text=Save the note");
    for (const one of [nurse, machine]) await shows(one, "#chips", "<img src=x");
    assert.equal(await machine.locator("#chips img").count(), 0);
  });

  await step("not live is said plainly, and the page comes back by itself after a kill", async () => {
    const before = await nurse.evaluate(async () => (await import("/link.js")).link.state.visit.last);
    await table.kill();
    for (const one of [nurse, machine]) {
      await one.waitForSelector("html[data-live=no]");
      assert.equal(await one.locator("#dead").isVisible(), true);
      assert.equal(await one.evaluate(() => document.getElementById("page").inert), true, "nothing can be touched");
    }
    await accessible(nurse, "not live");
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

  await step("a finished visit is only looked at", async () => {
    await shows(nurse, "#awaited", "Finished");
    for (const id of ["undo", "note", "pause", "procedure", "around"]) assert.equal(await nurse.locator("#" + id).isDisabled(), true, id);
    await nurse.locator(".chip", { hasText: "mobility" }).click();
    await cell(nurse, "buccal").click();
    assert.equal(await nurse.evaluate(() => document.getElementById("sheet").open), false);
    await nurse.click("#on");
    await shows(nurse, "#tooth-number", "103");
    await nurse.click("#go-back");
    await shows(nurse, "#tooth-number", "104");
  });

  await step("the last visit of the animal stands beside today's, and can be searched", async () => {
    await presses(nurse, [{ do: "open_visit", with: { patient: DOG, vet: null, nurse: null } }, ...depths(404, [2, 1, 2, 2, 2, 2]), { do: "finish" }, { do: "yes" }]);
    await presses(nurse, dogVisit());
    await shows(nurse, '[data-key="site-buccal"]', "was 1");
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

  await step("both themes and both sizes fit, and axe finds nothing serious", async () => {
    for (const size of SIZES) {
      await nurse.setViewportSize(size);
      for (const colorScheme of ["dark", "light"]) {
        await nurse.emulateMedia({ colorScheme, reducedMotion: "reduce" });
        const where = `${size.width}x${size.height} ${colorScheme}`;
        await accessible(nurse, where);
        await fits(nurse, where);
        for (const [id, title] of [["more", "More"], ["checks", "Check list"], ["procedure", "Procedure"], ["around", "Mouth"]]) {
          await nurse.click("#" + id);
          await shows(nurse, "#sheet-title", title);
          await accessible(nurse, `${where} ${title}`);
          await fits(nurse, `${where} ${title}`);
          await nurse.keyboard.press("Escape");
        }
      }
    }
    const ground = () => nurse.evaluate(() => getComputedStyle(document.body).backgroundColor);
    const before = await ground();
    await nurse.keyboard.press("l");
    assert.notEqual(await ground(), before, "the key changes the theme");
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
} finally {
  await browser.close();
  await table.close();
}
