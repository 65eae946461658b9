// A running program and a browser for it: used by the tests and by the pictures of the README.

import { spawn } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

/// `sulcus serve` on its own data folder. The port is free at first, and the same after a restart.
export class Table {
  static async open(more = []) {
    const table = new Table();
    table.more = more;
    table.data = await mkdtemp(join(tmpdir(), "sulcus-page-"));
    table.port = 0;
    await table.start();
    return table;
  }

  async start() {
    const program = process.env.SULCUS_BIN;
    if (!program) throw new Error("SULCUS_BIN names no program");
    this.child = spawn(program, ["--data", this.data, "serve", "--port", String(this.port), ...this.more], { stdio: ["ignore", "pipe", "inherit"] });
    const child = this.child;
    this.address = await new Promise((found, failed) => {
      let text = "";
      child.stdout.on("data", (bytes) => {
        text += bytes;
        this.code = text.match(/Pairing code: (\d{4} \d{4})\s(?![^]*Pairing code)/)?.[1];
        const match = text.match(/Page: (https?:\S+)\s/);
        if (match && (match[1].startsWith("http:") || this.code)) found(match[1]);
      });
      child.on("exit", (code) => failed(new Error(`the program ended with ${code}`)));
    });
    this.port = Number(new URL(this.address).port);
  }

  /// As a power cut would for the process.
  async kill() {
    if (this.child.exitCode !== null || this.child.signalCode !== null) return;
    const gone = new Promise((done) => this.child.once("exit", done));
    this.child.kill("SIGKILL");
    await gone;
  }

  async close() {
    await this.kill();
    await rm(this.data, { recursive: true, force: true });
  }
}

export const launch = () => chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--force-color-profile=srgb"] });

/// Sends presses from within the page, as its own script does, one after another.
export async function presses(page, wishes) {
  for (const wish of wishes) {
    const told = await page.evaluate(async (press) => {
      const link = (await import("/link.js")).link;
      const send = () => fetch("/api/press", {
        method: "POST", headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ seen: Number.MAX_SAFE_INTEGER, press }),
      });
      let answer = await send();
      // Faster than any hand: the program says so.
      while (answer.status === 429) {
        await new Promise((again) => setTimeout(again, 60));
        answer = await send();
      }
      return { status: answer.status, body: await answer.json(), last: link.state?.visit?.last ?? 0 };
    }, wish);
    if (told.status !== 200) throw new Error(`${JSON.stringify(wish)} gave ${told.status} ${JSON.stringify(told.body)}`);
  }
  await page.waitForTimeout(150);
}

// ---- invented animals for the pictures

const SITES = ["mesio_buccal", "buccal", "disto_buccal", "mesio_lingual", "lingual", "disto_lingual"];
export const finding = (tooth, kind, value, place = {}) =>
  ({ do: "finding", with: { tooth, kind, site: place.site ?? null, entrance: place.entrance ?? null, value } });
export const depths = (tooth, mm) => [{ do: "choose", with: { tooth } }, ...mm.map((value, at) => finding(tooth, "depth", { mm: value }, { site: SITES[at] }))];
export const decide = (tooth, decision, more = {}) =>
  ({ do: "decide", with: { tooth, decision, months: null, treatment: null, reason: null, ...more } });

export const DOG = { id: null, name: "Pepper", species: "dog", breed: "mixed", sex: "female_neutered", born: "2017-04", weight_g: 12400, owner: "Example", invented: true };
export const CAT = { id: null, name: "Biscuit", species: "cat", breed: null, sex: "male_neutered", born: "2015", weight_g: 4300, owner: "Example", invented: true };

/// A dog's visit in its middle: three rows done, the lower right begun.
export function dogVisit() {
  const wishes = [{ do: "open_visit", with: { patient: DOG, vet: "Dr Example", nurse: "N Example" } },
    { do: "mark", with: "anaesthesia_started" }, { do: "mark", with: "throat_pack_in" }, { do: "mark", with: "gag_in" }];
  const row = (quadrant, count, special) => {
    for (let at = count; at >= 1; at -= 1) {
      const tooth = quadrant * 100 + at;
      const given = special[at];
      if (given === "absent") wishes.push(finding(tooth, "absent", "present"));
      else wishes.push(...depths(tooth, given ?? [2, 1 + (at % 2), 2, 2, 1, 2 + (at % 3 === 0 ? 1 : 0)]));
    }
  };
  row(1, 10, { 10: [3, 3, 4, 3, 3, 4], 9: [3, 4, 5, 3, 4, 5], 8: [4, 6, 7, 3, 4, 5], 5: "absent" });
  wishes.push(finding(108, "furcation", { grade: 2 }, { entrance: "buccal" }), finding(108, "mobility", { grade: 1 }),
    finding(108, "gingivitis", { grade: 2 }), finding(104, "fracture", { code: "CCF" }));
  row(2, 10, { 8: [3, 4, 4, 3, 3, 3] });
  row(3, 11, { 11: "absent", 9: [3, 3, 3, 3, 3, 3] });
  wishes.push({ do: "confirm" });
  wishes.push({ do: "choose", with: { tooth: 108 } }, decide(108, "extract", { reason: "furcation" }), { do: "yes" },
    { do: "choose", with: { tooth: 104 } }, decide(104, "treat", { treatment: "root_canal" }), { do: "choose", with: { tooth: 208 } }, decide(208, "monitor", { months: 6 }));
  wishes.push({ do: "confirm" });
  wishes.push(...depths(401, [2, 1, 2, 2, 1, 2]), ...depths(402, [2, 1, 2]));
  wishes.push(...depths(404, [3, 2, 4, 3, 5, 3]), finding(404, "recession", { mm: 2 }, { site: "buccal" }), finding(404, "bleeding", "present", { site: "disto_buccal" }),
    finding(404, "calculus", { grade: 2 }), finding(404, "gingivitis", { grade: 2 }));
  return wishes;
}
