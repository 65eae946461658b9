// What a person does on the page, by the words that stand on it, each touch counted: shared by the tests, the count of
// touches and the pictures.

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

/// Nothing is under way any more, and the page is live.
export const still = (page) => page.waitForFunction(() => {
  const { live, busy } = document.documentElement.dataset;
  return live === "yes" && busy !== "yes" && !document.querySelector(".cell.waits");
});

/// Asks again and again until it is so. (The driver's own waiting takes any promise for a yes.)
export async function until(page, is, given) {
  const fromMs = Date.now();
  while (!(await page.evaluate(is, given))) {
    if (Date.now() - fromMs > 30000) throw new Error(`never so: ${is}`);
    await page.waitForTimeout(20);
  }
}

/// Goes on to another tooth. A question that a pause brought up shuts touches out for a moment, so that nobody answers
/// it unread; whose touch came just then touches again.
export async function onward(page, press) {
  const before = await page.locator("#tooth-number").textContent();
  for (let tries = 1; ; tries += 1) {
    await press(tries);
    try {
      await page.waitForFunction((before) => document.getElementById("tooth-number").textContent !== before, before, { timeout: 8000 });
      return;
    } catch (error) {
      if (tries === 3) throw error;
      await still(page);
    }
  }
}

/// A hand on the page. Every touch is counted, none is hidden.
export class Hand {
  constructor(page) {
    this.page = page;
    this.touches = 0;
  }

  async touch(selector) {
    const node = typeof selector === "string" ? this.page.locator(selector) : selector;
    await node.waitFor();
    // A touch that the page would not take yet is no touch: a person waits until the sign of waiting is gone.
    await this.still();
    await node.click();
    this.touches += 1;
    await this.still();
  }

  key(name) { return this.touch(`#pad [data-key="${name}"]`); }
  sheet(words) { return this.touch(this.page.locator("#sheet").getByRole("button", { name: words, exact: typeof words === "string" })); }

  /// Brings one of the three parts of the pad to the front, where there is not room for all.
  async tab(name) {
    if (await this.page.locator("#tabs").isVisible()) {
      if ((await this.page.locator("#pad").getAttribute("data-tab")) !== name) await this.touch(`#tab-${name}`);
    }
  }

  /// All that was touched is saved and shown.
  still() { return still(this.page); }

  async yes() {
    await this.page.waitForSelector("#ask:not([hidden]):not(.fresh)");
    await this.touch("#yes");
    await this.page.waitForSelector("#ask", { state: "hidden" });
  }
}

/// Axe finds nothing at all.
export async function violations(page) {
  // Through the debugger, since the page's policy lets no foreign script in.
  await page.evaluate(await readFile(AXE, "utf8"));
  return page.evaluate(async () => {
    const result = await globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
    return result.violations.map((one) => `${one.impact} ${one.id}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 4).join(" | ")}`);
  });
}

/// What is wrong with how the page lies on this screen: targets that are too small, parts that overlap, words that are
/// cut, anything that cannot be reached by scrolling.
export function faults(page) {
  return page.evaluate(() => {
    const REACH = 48;
    const GLOVE = 60;
    const SLACK = 1;
    const found = [];
    const name = (node) => `${node.id || node.dataset?.key || node.className || node.tagName} ${node.textContent.trim().slice(0, 24)}`.trim();
    const dialog = document.querySelector("dialog[open]");
    const top = dialog ?? document.body;
    const isShown = (node) => node.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && node.getBoundingClientRect().width > 0;
    const targets = [...top.querySelectorAll("button, a.button, input:not([type=radio]):not([type=checkbox]), select, textarea, .pick")].filter(isShown);
    for (const node of targets) {
      const box = node.getBoundingClientRect();
      const least = node.classList.contains("glove") ? GLOVE : REACH;
      if (box.width < least - SLACK || box.height < least - SLACK) found.push(`small: ${name(node)}: ${Math.round(box.width)} x ${Math.round(box.height)}`);
    }
    // Two targets share no place.
    for (let a = 0; a < targets.length; a += 1) for (let b = a + 1; b < targets.length; b += 1) {
      if (targets[a].contains(targets[b]) || targets[b].contains(targets[a])) continue;
      const [p, q] = [targets[a].getBoundingClientRect(), targets[b].getBoundingClientRect()];
      const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      // Parts that scroll lie under the actions until they are scrolled to.
      const scrolls = (node) => node.closest("#work, #sheet-body");
      if (wide > 2 && high > 2 && scrolls(targets[a]) === scrolls(targets[b])) found.push(`overlap: ${name(targets[a])} and ${name(targets[b])}`);
    }
    // Parts of the page share no place.
    const parts = dialog ? [] : [...document.querySelectorAll("#top, #rail, #work > section, #pad > div")].filter((node) => isShown(node) && getComputedStyle(node).display !== "contents");
    for (let a = 0; a < parts.length; a += 1) for (let b = a + 1; b < parts.length; b += 1) {
      if (parts[a].contains(parts[b]) || parts[b].contains(parts[a])) continue;
      const [p, q] = [parts[a].getBoundingClientRect(), parts[b].getBoundingClientRect()];
      const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      const inWork = (node) => node.closest("#work");
      if (wide > 2 && high > 2 && inWork(parts[a]) === inWork(parts[b])) found.push(`overlap: ${name(parts[a])} and ${name(parts[b])}`);
    }
    // No word lies under a target, and none is broken in its middle.
    const lettered = [...top.querySelectorAll("p, h1, h2, h3, li, span, b, small, button, .button, th, td")].filter((node) => isShown(node) && !node.closest("svg, .say") && !node.classList.contains("say"));
    for (const node of lettered) {
      // A tile shows the beginning of a list that a touch opens; the rest is not drawn.
      if (node.matches(".tile span")) continue;
      for (const text of node.childNodes) {
        if (text.nodeType !== Node.TEXT_NODE || !text.data.trim()) continue;
        const range = document.createRange();
        range.selectNodeContents(text);
        const box = range.getBoundingClientRect();
        const own = node.closest("button, a.button, .pick");
        for (const target of targets) {
          if (target === own || target.contains(node) || node.contains(target) || Boolean(target.closest("#work, #sheet-body")) !== Boolean(node.closest("#work, #sheet-body"))) continue;
          const other = target.getBoundingClientRect();
          const wide = Math.min(box.right, other.right) - Math.max(box.left, other.left);
          const high = Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top);
          if (wide > 3 && high > 3) found.push(`overlap: the words "${text.data.trim().slice(0, 30)}" and ${name(target)}`);
        }
        for (const word of text.data.matchAll(/[\p{L}\p{N}]{2,}/gu)) {
          // A soft hyphen parts a word where its language does.
          if (text.data[word.index - 1] === "\u00ad") continue;
          range.setStart(text, word.index);
          range.setEnd(text, word.index + word[0].length);
          const lines = new Set([...range.getClientRects()].filter((line) => line.width > 0).map((line) => Math.round(line.top)));
          if (lines.size > 1) found.push(`broken word: "${word[0].slice(0, 20)}" in ${name(node)}`);
        }
      }
    }
    for (const node of document.querySelectorAll("#work, #sheet-body, #gate")) {
      if (isShown(node) && node.scrollWidth > node.clientWidth + SLACK) found.push(`scrolls sideways: #${node.id}: ${node.scrollWidth} in ${node.clientWidth}`);
    }
    // Nothing that holds words is cut off: what does not fit inside is scrolled or grows.
    for (const node of top.querySelectorAll("*")) {
      if (!isShown(node) || node.closest("svg, .say, #level") || node.classList.contains("say")) continue;
      const style = getComputedStyle(node);
      const cutsX = style.overflowX === "hidden" || style.overflowX === "clip";
      const cutsY = style.overflowY === "hidden" || style.overflowY === "clip";
      if (node === document.body || node === document.documentElement) {
        if (node.scrollWidth > innerWidth + SLACK || node.scrollHeight > innerHeight + SLACK) found.push(`cut: the page runs over the edge: ${node.scrollWidth} x ${node.scrollHeight}`);
        continue;
      }
      // A tile shows the beginning of a list that a touch opens.
      if (node.matches(".tile span")) continue;
      if ((cutsX && node.scrollWidth > node.clientWidth + SLACK) || (cutsY && node.scrollHeight > node.clientHeight + SLACK)) found.push(`cut: ${name(node)}`);
      if (node.matches("button, .button, .chip, .pick, .cell, p, h1, h2, h3, li") && style.overflowX === "visible" && node.scrollWidth > node.clientWidth + 2) found.push(`runs out: ${name(node)}: ${node.scrollWidth} in ${node.clientWidth}`);
      if (node.matches("button, .button, .cell") && node.scrollHeight > node.clientHeight + 3) found.push(`runs out: ${name(node)}: ${node.scrollHeight} high in ${node.clientHeight}`);
    }
    // Within the window across, or inside something that scrolls.
    for (const node of targets) {
      const box = node.getBoundingClientRect();
      if (box.left < -SLACK || box.right > innerWidth + SLACK) found.push(`outside: ${name(node)}`);
      const scroller = node.closest("#work, #sheet-body, #gate, .scroll");
      if (!scroller && (box.top < -SLACK || box.bottom > innerHeight + SLACK)) found.push(`outside: ${name(node)}`);
    }
    return [...new Set(found)];
  });
}

/// Pixels of the smallest letters that are shown.
export const smallest = (page) => page.evaluate(() => {
  let least = Infinity;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || !node.checkVisibility({ visibilityProperty: true }) || node.closest(".say")) continue;
    const box = node.getBoundingClientRect();
    if (!box.width) continue;
    const scale = node.closest("svg")?.getScreenCTM?.()?.a ?? 1;
    least = Math.min(least, parseFloat(getComputedStyle(node).fontSize) * scale);
  }
  return Math.round(least * 10) / 10;
});

export const SIZES = [
  { name: "phone", width: 390, height: 844 },
  { name: "phone on its side", width: 844, height: 390 },
  { name: "tablet upright", width: 768, height: 1024 },
  { name: "tablet", width: 1024, height: 768 },
  { name: "large tablet upright", width: 800, height: 1280 },
  { name: "large tablet", width: 1280, height: 800 },
  { name: "large tablet at 200 %", width: 640, height: 400, scale: 2 },
  { name: "monitor", width: 1920, height: 1080 },
];
