// After the end of a visit: what is printed and saved of it, words added, its opening again.

import * as draft from "./draft.js";
import { look, press } from "./link.js";
import { t } from "./messages.js";
import { button, close, grid, open, say, section } from "./sheet.js";
import { html } from "./tooth.js";

/// Opened beside the page; what is a file is saved by the browser.
const paper = (visit, file, words, more = {}) => html("a", { class: "button glove", href: `/api/papers/${visit.visit}/${file}`, target: "_blank", rel: "noopener", ...more }, words);

/// What can be done with a visit that is not being worked on. A finished one can be added to and opened again.
export function actions(visit) {
  return [
    visit.is_open ? null : html("p", { class: visit.signed && !visit.signed.later_count ? "told" : "told alarm" }, signed(visit)),
    visit.unconfirmed_count ? html("p", { class: "told alarm" }, "▲ " + t("papers-unconfirmed", { count: visit.unconfirmed_count })) : null,
    grid("", paper(visit, "report.pdf", t("report")), paper(visit, "owner.pdf", t("owners-sheet")),
      visit.is_open ? null : html("button", { class: "glove", on: () => sign(visit) }, t("sign") + "…"),
      visit.is_open ? null : html("button", { class: "glove", on: () => write(visit, "addendum") }, t("addendum") + "…"),
      visit.is_open ? null : html("button", { class: "glove", on: () => write(visit, "reopen") }, t("reopen") + "…")),
    section(t("for-other-programs")),
    grid("", paper(visit, "record.json", t("export-json"), { download: true }), paper(visit, "record.fhir.json", t("export-fhir"), { download: true }),
      paper(visit, "record.csv", t("export-csv"), { download: true })),
  ].filter(Boolean);
}

/// "Signed by ..., 14:05": whether the record stands as it was signed.
function signed(visit) {
  if (!visit.signed) return "▲ " + t("not-signed");
  const when = new Date(visit.signed.at_ms).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" });
  const words = t("signed-by", { name: visit.signed.name, when });
  return visit.signed.later_count ? `▲ ${words}; ${t("signed-later", { count: visit.signed.later_count })}` : `✓ ${words}`;
}

/// Who signs, by name and PIN; what nobody confirmed is told before.
async function sign(visit, anyway = false) {
  if (visit.unconfirmed_count && !anyway) {
    return open(t("sign"), html("p", { class: "told alarm" }, "▲ " + t("papers-unconfirmed", { count: visit.unconfirmed_count })),
      grid("", button(t("sign-anyway") + "…", () => sign(visit, true)), button(t("sign-not-yet"), close, "no")));
  }
  const names = await look("/api/signers");
  if (!names) return null;
  return open(t("sign-who"), html("p", { class: "soft" }, t("sign-what")),
    grid("", ...names.map((name) => button(`${name}…`, () => pin(visit, name, anyway)))),
    names.length ? null : html("p", { class: "told" }, t("sign-nobody")));
}

/// By keyboard, or figure by figure with gloves on; never shown, never kept as a draft.
function pin(visit, name, anyway) {
  const input = html("input", { id: "pin", type: "password", inputmode: "numeric", maxlength: "12", autocomplete: "off", "data-first": true });
  const done = async () => {
    const given = { visit: visit.visit, name, pin: input.value, up_to: visit.last, anyway };
    input.value = "";
    if (!/^\d{4,12}$/.test(given.pin)) return say(t("pin-wrong"));
    if (await press("sign", given, t("sign"))) close();
  };
  input.addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); done(); } });
  open(t("sign-pin", { name }), html("div", { class: "hits" }, html("label", { for: "pin" }, t("pin")), input),
    grid("figures", ...["1", "2", "3", "4", "5", "6", "7", "8", "9", "0"].map((digit) => button(digit, () => { input.value += digit; })),
      html("button", { "aria-label": t("delete-figure"), on: () => { input.value = input.value.slice(0, -1); } }, "⌫")),
    grid("", button(t("sign"), done, "yes glove")));
}

/// An addendum, or the reason for opening again: words that the record keeps.
function write(visit, what) {
  const name = `${what}-${visit.visit}`;
  const text = html("textarea", { id: "after-text", name: "text", rows: "4", maxlength: "2000", "data-first": true });
  const node = html("div", { class: "hits" }, html("label", { for: "after-text" }, t(what + "-text")), text);
  open(t(what), html("p", { class: "told" }, t(what + "-what")), node,
    grid("", html("button", { class: "yes glove", on: async () => {
      if (!text.value.trim()) return say(t(what + "-empty"));
      if (await press(what, { visit: visit.visit, text: text.value }, t(what))) { draft.drop(name); close(); }
    } }, t(what + "-save"))));
  if (draft.keep(name, node)) say(t("draft-back"));
}

/// The panel in the place of the pad once the visit at hand is finished.
export function panel(visit, doors) {
  return [
    html("h2", {}, t("finished-title")),
    ...actions(visit),
    ...(visit.addenda.length ? [section(t("addenda")), html("ul", {}, ...visit.addenda.map((one) => html("li", {}, one.text)))] : []),
    section(t("and-then")),
    grid("", html("button", { class: "glove", on: doors.print }, t("print-page")), html("button", { class: "glove", on: doors.earlier }, t("earlier-visits")),
      html("button", { class: "glove yes", on: doors.fresh }, t("new-patient"))),
  ];
}
