// Entering by touch and key: the depth pad that walks from site to site, the findings that are entered with one touch,
// the decision. Stays where it is; nothing here moves by itself while a person works.
//
// Invariant: a reading goes to the site that was marked when it was touched, whatever came meanwhile.

import { inTurn, link, press } from "./link.js";
import { t } from "./messages.js";
import * as sheet from "./sheet.js";
import { html, siteWords } from "./tooth.js";

// A knuckle that bounces is one touch; nobody types the same figure twice so fast.
const BOUNCE_MS = 150;
// Entered with one touch each; all others are under "more findings".
const GRADED = ["mobility", "furcation", "gingivitis", "calculus"];
const LISTED = ["fracture", "resorption_stage"];
const MONTHS = [3, 6, 12];
const TREATMENTS = ["root_planing_closed", "root_canal"];
// What speaks for taking a tooth out, by the kind that was charted.
const REASONS = {
  furcation: "furcation", mobility: "mobility", fracture: "fracture", pulp_exposed: "fracture", resorption_stage: "resorption",
  crowded: "crowding", persistent_deciduous: "persistent_deciduous", caries: "caries", root_retained: "retained_root",
};
const REASONS_SHOWN = 2;
const MM_MAX = 20;

/// Long words may be parted where English parts them.
const soft = (words) => words.replace(/(\p{L}{5,})(ment|tion|sion)\b/gu, "$1\u00ad$2");

const $ = (id) => document.getElementById(id);

export class Pad {
  constructor(onChange) {
    this.onChange = onChange;
    this.tooth = null;
    this.kind = "depth";
    this.at = null; // Site that the next reading fills.
    this.isByHand = false; // Since the tooth came to hand.
    this.isHigh = false; // Figures above ten.
    this.isAll = false; // The next reading is of all six.
    this.pending = new Map();
    this.before = null;
    this.bounce = { mm: null, atMs: 0 };
    for (const tab of document.querySelectorAll("#tabs [role=tab]")) tab.addEventListener("click", () => this.show(tab.dataset.tab, true));
    $("tabs").addEventListener("keydown", (event) => this.tabKey(event));
  }

  // ---- which of the three is in front, where there is room for one

  show(tab, byHand = false) {
    $("pad").dataset.tab = tab;
    for (const one of document.querySelectorAll("#tabs [role=tab]")) {
      const is = one.dataset.tab === tab;
      one.setAttribute("aria-selected", String(is));
      one.tabIndex = is ? 0 : -1;
      if (is && byHand) one.focus();
    }
  }

  tabKey(event) {
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    event.stopPropagation();
    const tabs = ["depths", "findings", "decide"];
    this.show(tabs[(tabs.indexOf($("pad").dataset.tab) + step + tabs.length) % tabs.length], true);
  }

  // ---- the walk

  order() {
    const keys = link.words.sites.map((site) => site.key);
    if (link.state.visit.is_from_front) return keys;
    return [...keys.slice(0, 3).reverse(), ...keys.slice(3).reverse()];
  }

  here() {
    return link.state.visit.teeth.find((one) => one.tooth === this.tooth);
  }

  has(site) {
    return this.pending.has(site) || this.here()?.values.some((value) => value.kind === this.kind && value.site === site);
  }

  /// The next site after this one that lacks a reading; nothing where all are read.
  lacking(after) {
    const order = this.order();
    const from = after === null ? 0 : order.indexOf(after) + 1;
    return [...order.slice(from), ...order.slice(0, from)].find((site) => !this.has(site)) ?? null;
  }

  /// The state came anew.
  update(state, before) {
    this.before = before;
    const visit = state.visit;
    if (visit.tooth !== this.tooth) {
      this.tooth = visit.tooth;
      this.kind = "depth";
      this.isHigh = false;
      this.isAll = false;
      this.isByHand = false;
      this.pending.clear();
      this.show("depths");
    }
    // Where nobody has chosen a site by hand, the voice leads.
    if (!this.isByHand) this.at = this.tooth === null ? null : this.lacking(null);
    this.draw(state);
  }

  choose(site) {
    this.isByHand = true;
    this.isAll = false;
    this.at = site;
    this.changed();
    if ($("pad").dataset.tab !== "depths") this.show("depths");
  }

  move(by) {
    const order = this.order();
    const at = this.at === null ? (by > 0 ? -1 : order.length) : order.indexOf(this.at);
    const to = at + by;
    if (to >= 0 && to < order.length) this.choose(order[to]);
  }

  changed() {
    this.draw(link.state);
    this.onChange();
  }

  canEnter() {
    return link.state?.visit?.is_open && !link.state.question && this.tooth !== null && !$("pad").hidden;
  }

  /// A figure was touched or typed.
  type(mm) {
    if (!this.canEnter()) return;
    const now = Date.now();
    if (this.bounce.mm === mm && now - this.bounce.atMs < BOUNCE_MS) return;
    this.bounce = { mm, atMs: now };
    this.isHigh = false;
    const { tooth, kind } = this;
    if (this.isAll) {
      this.isAll = false;
      this.isByHand = false;
      return this.whole("all_sites", { tooth, mm }, t("all-six-of", { tooth, mm }));
    }
    const site = this.at;
    if (site === null) return link.onOutcome({ kind: "hint", words: t("all-read") });
    const place = link.words.sites.find((one) => one.key === site);
    const words = `${tooth} ${siteWords(place, tooth < 300 || (tooth > 500 && tooth < 700))} ${mm}`;
    const done = (isSaved) => {
      this.pending.delete(site);
      if (!isSaved && this.tooth === tooth) {
        // Back to what was not saved, so that nobody thinks it entered.
        this.isByHand = true;
        this.at = site;
      }
      this.changed();
    };
    if (!inTurn("finding", { tooth, kind, site, entrance: null, value: { mm } }, words, done)) return;
    if (kind === "depth") this.pending.set(site, mm);
    this.isByHand = true;
    // Recession and enlargement are of single places: the mark stays.
    if (kind === "depth") this.at = this.lacking(site);
    this.changed();
  }

  async whole(name, content, words) {
    if (await press(name, content, words)) this.isByHand = false;
    this.changed();
  }

  setKind(kind) {
    if (!this.canEnter()) return;
    this.kind = this.kind === kind ? "depth" : kind;
    this.isAll = false;
    if (this.at === null) this.at = this.order()[0];
    this.isByHand = true;
    this.changed();
  }

  all() {
    if (!this.canEnter()) return;
    this.kind = "depth";
    this.isAll = !this.isAll;
    this.changed();
  }

  /// Depths of the last visit, in the order of the walk.
  last() {
    const was = this.before?.teeth.find((one) => one.tooth === this.tooth);
    if (!was || was.is_absent) return [];
    return link.words.sites.flatMap(({ key }) => {
      const value = was.values.find((one) => one.kind === "depth" && one.site === key);
      return value ? [{ site: key, mm: value.value.mm }] : [];
    });
  }

  bleeds() {
    if (!this.canEnter()) return;
    const site = this.at ?? this.order()[0];
    const given = this.here()?.values.find((value) => value.kind === "bleeding" && value.site === site);
    if (given) sheet.withdraw(given, given.words);
    else press("finding", { tooth: this.tooth, kind: "bleeding", site, entrance: null, value: "present" }, t("bleeding"));
  }

  withdraw() {
    const given = this.here()?.values.find((value) => value.kind === this.kind && value.site === this.at);
    if (given) sheet.withdraw(given, given.words);
  }

  // ---- drawing

  draw(state) {
    const tooth = this.tooth === null ? null : this.here();
    const isOn = Boolean(state.visit?.is_open && tooth && !state.question);
    this.title(tooth);
    this.figures(tooth, isOn);
    this.findings(tooth, isOn);
    this.decide(tooth, isOn, state);
  }

  title(tooth) {
    const upper = this.tooth !== null && (this.tooth < 300 || (this.tooth > 500 && this.tooth < 700));
    const place = link.words.sites.find((one) => one.key === this.at);
    const kind = link.words.kinds.find((one) => one.kind === this.kind)?.title ?? "";
    const words = tooth === null ? t("choose-a-tooth")
      : tooth.is_absent ? t("tooth-missing", { tooth: this.tooth })
      : this.isAll ? t("all-six-which", { tooth: this.tooth })
      : this.at === null ? t("all-read")
      : t("reading-of", { tooth: this.tooth, place: siteWords(place, upper), kind });
    if ($("pad-title").textContent !== words) $("pad-title").textContent = words;
    $("depths").dataset.kind = this.kind;
  }

  figures(tooth, isOn) {
    const key = (name, words, on, more = {}) => ({ name, words, on, look: "", ...more });
    const figures = this.isHigh
      ? Array.from({ length: MM_MAX - 10 }, (_, at) => at + 11)
      : [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
    const given = this.at === null ? undefined : tooth?.values.find((value) => value.kind === this.kind && value.site === this.at);
    const last = this.last();
    const kind = (name) => key(name, link.words.kinds.find((one) => one.kind === name).title, () => this.setKind(name), { look: "small", is: this.kind === name });
    const typed = [
      ...figures.map((mm) => key(`mm-${mm}`, String(mm), () => this.type(mm), { look: "figure", now: given?.value.mm === mm })),
      key("mm-0", "0", () => this.type(0), { look: "figure", now: given?.value.mm === 0 }),
      key("high", this.isHigh ? "1–10" : "11–20", () => { this.isHigh = !this.isHigh; this.changed(); }, { look: "figure", is: this.isHigh }),
    ];
    const words = [
      key("all", t("all-six"), () => this.all(), { look: "small", is: this.isAll }),
      key("last", t("as-last-visit"), () => this.whole("depths", { tooth: this.tooth, depths: last }, t("as-last-visit")),
        { look: "small", small: last.map(({ mm }) => mm).join(" "), off: !last.length }),
      key("bleeding", link.words.kinds.find((one) => one.kind === "bleeding").title, () => this.bleeds(), { look: "small" }),
      kind("recession"), kind("enlargement"),
      key("withdraw", t("withdraw-this"), () => this.withdraw(), { look: "small", off: !given }),
      key("absent", link.words.kinds.find((one) => one.kind === "absent").title,
        () => press("finding", { tooth: this.tooth, kind: "absent", site: null, entrance: null, value: "present" }, t("tooth-missing", { tooth: this.tooth })), { look: "small" }),
      key("normal", link.words.kinds.find((one) => one.kind === "normal").title, () => press("normal", { tooth: this.tooth }, ""), { look: "small" }),
    ];
    this.buttons($("figures"), typed, isOn, tooth?.is_absent);
    this.buttons($("words"), words, isOn, tooth?.is_absent);
  }

  /// Buttons stay the same nodes where they can, so that focus and a finger on its way keep theirs.
  buttons(node, keys, isOn, isAbsent = false) {
    keys.forEach((one, at) => {
      let button = node.children[at];
      if (!button || button.dataset.key !== one.name) {
        const fresh = html("button", { "data-key": one.name });
        fresh.addEventListener("click", () => fresh.act?.());
        if (button) button.replaceWith(fresh);
        else node.append(fresh);
        button = fresh;
      }
      button.act = one.on;
      button.className = `${one.plain ? "" : "glove"} ${one.look} ${one.now ? "now" : ""} ${one.is ? "is" : ""}`;
      button.disabled = Boolean(one.off) || !isOn || isAbsent;
      if (one.is !== undefined) button.setAttribute("aria-pressed", String(Boolean(one.is)));
      if (one.now) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
      if (one.says) button.setAttribute("aria-label", one.says);
      const text = one.words + (one.small ? "\n" + one.small : "");
      if (button.dataset.text !== text) {
        button.dataset.text = text;
        button.replaceChildren(soft(one.words), ...(one.small ? [html("small", {}, one.small)] : []));
      }
    });
    while (node.children.length > keys.length) node.lastChild.remove();
  }

  findings(tooth, isOn) {
    const kinds = link.words.kinds;
    const kindOf = (name) => kinds.find((one) => one.kind === name);
    const node = $("findings");
    if (!node.children.length) {
      node.append(...GRADED.map((name) => html("div", { class: "card", role: "group", "aria-label": kindOf(name).title },
        html("p", { class: "card-title", lang: "en" }, kindOf(name).title), html("div", { class: "card-keys", id: "card-" + name }))),
      html("div", { class: "card-keys wide", id: "card-more" }));
    }
    const upper = this.tooth !== null && (this.tooth < 300 || (this.tooth > 500 && this.tooth < 700));
    for (const name of GRADED) {
      const kind = kindOf(name);
      const given = tooth?.values.filter((value) => value.kind === name) ?? [];
      const same = (choice) => given.find((value) => JSON.stringify(value.value) === JSON.stringify(choice.value));
      this.buttons($("card-" + name), kind.choices.map((choice) => ({
        name: `${name}-${choice.words}`, words: choice.words, look: "figure", now: Boolean(same(choice)),
        on: () => {
          if (same(choice)) return sheet.value(this.tooth, same(choice));
          if (kind.reach === "entrance") return sheet.entrances(this.tooth, kind, upper, choice);
          press("finding", { tooth: this.tooth, kind: name, site: null, entrance: null, value: choice.value }, `${this.tooth} ${kind.title} ${choice.words}`);
        },
      })), isOn, tooth?.is_absent);
    }
    this.buttons($("card-more"), [
      ...LISTED.map((name) => ({ name, words: kindOf(name).title + "…", look: "small", on: () => sheet.choose(this.tooth, kindOf(name), null, kindOf(name).title) })),
      { name: "add", words: t("more-findings"), look: "small", on: () => sheet.finding(this.tooth, upper) },
    ], isOn);
  }

  /// Reasons that what is charted speaks for, the weightiest first.
  reasons(tooth, normal) {
    if (!tooth) return [];
    const found = Object.keys(REASONS).filter((kind) => tooth.values.some((value) => value.kind === kind && value.value.grade !== 0)).map((kind) => REASONS[kind]);
    if (tooth.values.some((value) => value.kind === "depth" && value.value.mm > normal)) found.push("pocket");
    return [...new Set(found)].slice(0, REASONS_SHOWN);
  }

  decide(tooth, isOn, state) {
    const { decisions, reasons, treatments } = link.words;
    const node = $("decide");
    if (!node.children.length) {
      node.append(...decisions.map(({ key, words }) => html("div", { class: "card", role: "group", "aria-label": words },
        html("p", { class: "card-title" }, html("span", { lang: "en" }, words), key === "monitor" ? html("small", {}, t("in-months")) : null), html("div", { class: "card-keys", id: "decide-" + key }))),
      html("div", { class: "card-keys wide", id: "decide-more" }));
    }
    const send = (decision, more = {}) => press("decide",
      { tooth: this.tooth, decision, months: null, treatment: null, reason: null, ...more }, `${this.tooth} ${decisions.find((one) => one.key === decision).words}`);
    const given = tooth?.decision;
    const reasonWords = (key) => reasons.find((one) => one.key === key).words;
    const of = {
      extract: [
        ...this.reasons(tooth, state.normal_depth_mm).map((key) => ({ name: "extract-" + key, words: t("because", { reason: reasonWords(key) }), on: () => send("extract", { reason: key }) })),
        { name: "extract-other", words: t("other-reason"), on: () => sheet.decide(this.tooth, "extract") },
      ],
      monitor: [
        ...MONTHS.map((months) => ({ name: "monitor-" + months, words: String(months), says: t("months", { count: months }), on: () => send("monitor", { months }) })),
        { name: "monitor-other", words: t("other"), on: () => sheet.decide(this.tooth, "monitor") },
      ],
      leave: [{ name: "leave", words: t("leave-it"), on: () => send("leave") },
        { name: "leave-other", words: t("with-reason"), on: () => sheet.decide(this.tooth, "leave") }],
      treat: [
        ...TREATMENTS.map((key) => ({ name: "treat-" + key, words: treatments.find((one) => one.key === key).words, on: () => send("treat", { treatment: key }) })),
        { name: "treat-other", words: t("other"), on: () => sheet.decide(this.tooth, "treat") },
      ],
    };
    for (const { key } of decisions) {
      this.buttons($("decide-" + key), of[key].map((one) => ({ ...one, look: "small", plain: true })), isOn);
      $("decide-" + key).classList.toggle("now", given?.key === key);
    }
    this.buttons($("decide-more"), [
      { name: "work", words: t("work-done"), look: "small", plain: true, on: () => sheet.work(this.tooth) },
      { name: "strike", words: t("withdraw-all-short"), look: "small", plain: true, on: () => sheet.strike(this.tooth) },
    ], isOn);
  }
}
