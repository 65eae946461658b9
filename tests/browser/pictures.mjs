// Makes the pictures of the page for the README: an invented dog and an invented cat.
// Run: cargo build && npm ci --prefix tests/browser && SULCUS_BIN=target/debug/sulcus node tests/browser/pictures.mjs

import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
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
  const shoot = async (name, width, height, colorScheme) => {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    await page.evaluate(() => document.activeElement?.blur());
    await page.waitForTimeout(1000);
    await page.screenshot({ path: `${folder}${name}.png` });
    console.log(`docs/pictures/${name}.png`);
  };

  await presses(page, [{ do: "open_visit", with: { patient: DOG, vet: null, nurse: null } },
    ...depths(404, [2, 1, 2, 2, 2, 2]), ...depths(108, [3, 4, 4, 3, 3, 3]), { do: "finish" }, { do: "yes" }]);
  await presses(page, dogVisit());
  await shoot("page-dog-dark", 1280, 800, "dark");
  await shoot("page-dog-upright-light", 800, 1280, "light");
  await presses(page, [{ do: "mark", with: { block: { block: "infraorbital", side: "right", drug: "bupivacaine", volume_ml_hundredths: 80 } } }]);
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.click("#procedure");
  await shoot("page-procedure", 1280, 800, "light");
  await page.keyboard.press("Escape");
  await presses(page, [decide(404, "extract", { reason: "pocket" })]);
  await shoot("page-question", 1280, 800, "light");
  await presses(page, [{ do: "no" }, { do: "finish" }, { do: "yes" }]);

  await presses(page, [{ do: "open_visit", with: { patient: CAT, vet: null, nurse: null } }, { do: "mark", with: "anaesthesia_started" }]);
  for (const tooth of [109, 108, 106, 104, 103, 102, 101, 201, 202, 203, 204, 206, 208, 209]) {
    await presses(page, depths(tooth, [1, 0, 1, 1, 0, 1]));
  }
  await presses(page, [finding(207, "absent", "present"), { do: "confirm" }, finding(504, "persistent_deciduous", "present"),
    ...depths(107, [1, 1, 3, 1, 1, 2]), finding(107, "gingivitis", { grade: 2 }), finding(407, "resorption_stage", { code: "4a" })]);
  await shoot("page-cat-light", 1280, 800, "light");
} finally {
  await browser.close();
  await table.close();
}
