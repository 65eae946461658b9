// Makes the pictures of the page for the README and docs/page.md: an invented dog and an invented cat, in all states.
// Run: cargo build && npm ci --prefix tests/browser && SULCUS_BIN=target/debug/sulcus node tests/browser/pictures.mjs

import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { SIZES, still } from "./steps.mjs";
import { CAT, DOG, Table, decide, depths, dogVisit, finding, launch, presses } from "./table.mjs";

const folder = fileURLToPath(new URL("../../docs/pictures/", import.meta.url));
await mkdir(folder, { recursive: true });
const table = await Table.open();
const browser = await launch();
try {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, colorScheme: "dark", reducedMotion: "reduce" });
  const page = await context.newPage();
  await page.goto(table.address);
  await page.waitForSelector("html[data-live=yes]");
  const shoot = async (name, { width = 1280, height = 800, look = "light", forced = "none" } = {}) => {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme: look, forcedColors: forced, reducedMotion: "reduce" });
    await still(page);
    await page.waitForTimeout(400);
    await page.screenshot({ path: `${folder}${name}.png` });
    console.log(`docs/pictures/${name}.png`);
  };
  const close = () => page.keyboard.press("Escape");

  await page.click("#new-visit");
  await shoot("page-new-patient");
  await close();
  await presses(page, [{ do: "open_visit", with: { patient: DOG, vet: null, nurse: null } },
    ...depths(404, [2, 1, 2, 2, 2, 2]), ...depths(108, [3, 4, 4, 3, 3, 3]), { do: "confirm" }, { do: "finish" }, { do: "yes" }]);
  await presses(page, dogVisit());
  await shoot("page-dog-dark", { look: "dark" });
  await shoot("page-forced-colours", { forced: "active" });
  for (const size of SIZES) {
    const name = size.name.replaceAll(" ", "-").replace("-%", "-percent");
    await shoot(`page-${name}`, { width: size.width, height: size.height, look: size.name.includes("upright") ? "light" : "dark" });
  }
  await page.setViewportSize({ width: 390, height: 844 });
  await page.click("#tab-decide");
  await shoot("page-phone-decide", { width: 390, height: 844 });
  await page.click("#tab-depths");
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.click("#confirm");
  await shoot("page-confirm");
  await close();
  await presses(page, [{ do: "mark", with: { block: { block: "infraorbital", side: "right", drug: "bupivacaine", volume_ml_hundredths: 80 } } }]);
  await page.click("#procedure");
  await shoot("page-procedure");
  await page.click("#sheet >> text=Medicine given…");
  await shoot("page-medicine");
  await close();
  // The anaesthetic: the strip with its trends, one value outside its limit, one controlled drug without a witness.
  const vital = (sign, value) => ({ do: "watch", with: { vital: { sign, value } } });
  await presses(page, [{ do: "watch", with: { drug: { drug: "methadone", dose_mg: 4, route: "intramuscular", by: "nurse", batch: "C1247" } } }, { do: "watch", with: { tube: { size_mm: 8 } } },
    vital("heart_rate", 118), vital("heart_rate", 96), vital("breathing_rate", 14), vital("oxygen_saturation", 98), vital("end_tidal_co2", 42),
    { do: "watch", with: { vital: { sign: "pressure", systolic: 88, diastolic: 44, mean: 55, method: "oscillometric" } } }, vital("temperature", 36.9), vital("isoflurane", 1.5)]);
  await shoot("page-anaesthetic");
  await shoot("page-anaesthetic-dark", { look: "dark" });
  await page.click("#strip >> text=Vital signs");
  await shoot("page-anaesthetic-sheet");
  await close();
  await page.click("#procedure");
  await page.click("#sheet >> text=Medicine given…");
  await page.click("#sheet >> text=Meloxicam");
  await page.fill("#dose", "0.5");
  await page.locator("#sheet .pick", { hasText: /^ml$/ }).click();
  await shoot("page-drug");
  await close();
  await page.click("#around");
  await page.click("#sheet >> text=Decide for a group of teeth…");
  await shoot("page-group");
  await close();
  await page.click("#more");
  await page.click("#sheet >> text=A touch works there");
  await close();
  const crown = await page.locator('[data-tooth="204"] .crown').boundingBox();
  await page.mouse.click(crown.x + crown.width / 2, crown.y + crown.height / 2);
  await shoot("page-looking");
  await page.click("#go-back");
  await presses(page, [decide(404, "extract", { reason: "pocket" })]);
  await shoot("page-question");
  await presses(page, [{ do: "no" }]);
  await page.route("**/api/press", (route) => route.fulfill({ status: 500, json: { error: "the disk is full", outcome: "not_saved" } }), { times: 1 });
  await page.click('#findings [data-key="mobility-1"]');
  await shoot("page-not-saved");
  await page.goto(new URL("/wall", table.address).href);
  await page.waitForSelector("html[data-live=yes]");
  await shoot("page-wall", { width: 1920, height: 1080, look: "dark" });
  await page.goto(new URL("/", table.address).href);
  await page.waitForSelector("html[data-live=yes]");
  await presses(page, [{ do: "confirm" }, { do: "finish" }, { do: "yes" }]);
  await shoot("page-finished");

  await presses(page, [{ do: "open_visit", with: { patient: CAT, vet: null, nurse: null } }, { do: "mark", with: "anaesthesia_started" }]);
  for (const tooth of [109, 108, 106, 104, 103, 102, 101, 201, 202, 203, 204, 206, 208, 209]) {
    await presses(page, depths(tooth, [1, 0, 1, 1, 0, 1]));
  }
  await presses(page, [finding(207, "absent", "present"), { do: "confirm" }, finding(504, "persistent_deciduous", "present"),
    ...depths(107, [1, 1, 3, 1, 1, 2]), finding(107, "gingivitis", { grade: 2 }), finding(407, "resorption_stage", { code: "4a" })]);
  await shoot("page-cat-light");
  await table.kill();
  await page.waitForSelector("#dead:not([hidden])");
  await page.waitForTimeout(1500);
  await page.screenshot({ path: `${folder}page-not-live.png` });

  // The graph of the report, as the examples hold it.
  const graph = await browser.newPage({ viewport: { width: 1100, height: 780 } });
  await graph.goto(new URL("../../docs/examples/dog-anaesthetic.svg", import.meta.url).href);
  await graph.screenshot({ path: `${folder}graph-anaesthetic.png` });
  await graph.close();

  // A finger on a phone: the part around the touched tooth comes near.
  await table.start();
  const phone = await (await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, colorScheme: "light", reducedMotion: "reduce" })).newPage();
  await phone.goto(table.address);
  await phone.waitForSelector("html[data-live=yes]");
  const tooth = phone.locator('[data-tooth="102"] .crown');
  await tooth.scrollIntoViewIfNeeded();
  const box = await tooth.boundingBox();
  await phone.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
  await phone.waitForSelector("#zoom-out:not([hidden])");
  await phone.waitForTimeout(400);
  await phone.screenshot({ path: `${folder}page-phone-near.png` });
} finally {
  await browser.close();
  await table.close();
}
