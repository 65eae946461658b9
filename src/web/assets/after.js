// After the end of a visit: what is printed and saved of it, words added, its opening again.

import * as draft from "./draft.js";
import { press } from "./link.js";
import { t } from "./messages.js";
import { close, grid, open, say, section } from "./sheet.js";
import { html } from "./tooth.js";

/// Opened beside the page; what is a file is saved by the browser.
const paper = (visit, file, words, more = {}) => html("a", { class: "button glove", href: `/api/papers/${visit.visit}/${file}`, target: "_blank", rel: "noopener", ...more }, words);

/// What can be done with a visit that is not being worked on. A finished one can be added to and opened again.
export function actions(visit) {
  return [
    visit.unconfirmed_count ? html("p", { class: "told alarm" }, "▲ " + t("papers-unconfirmed", { count: visit.unconfirmed_count })) : null,
    grid("", paper(visit, "report.pdf", t("report")), paper(visit, "owner.pdf", t("owners-sheet")),
      visit.is_open ? null : html("button", { class: "glove", on: () => write(visit, "addendum") }, t("addendum") + "…"),
      visit.is_open ? null : html("button", { class: "glove", on: () => write(visit, "reopen") }, t("reopen") + "…")),
    section(t("for-other-programs")),
    grid("", paper(visit, "record.json", t("export-json"), { download: true }), paper(visit, "record.fhir.json", t("export-fhir"), { download: true }),
      paper(visit, "record.csv", t("export-csv"), { download: true })),
  ].filter(Boolean);
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
