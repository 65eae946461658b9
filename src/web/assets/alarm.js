// What failed, and what is not saved: stands above all else until somebody says that it is written down.

import { press } from "./link.js";
import { t } from "./messages.js";

const $ = (id) => document.getElementById(id);

function lines(list, texts) {
  list.replaceChildren(...texts.map((text) => {
    const item = document.createElement("li");
    item.textContent = text;
    return item;
  }));
}

export function show(state) {
  const trouble = state.trouble;
  $("alarm").hidden = !trouble;
  if (!trouble) return;
  const isOpen = trouble.alarms.length > 0;
  // Acknowledged, it stays to be seen, and is no longer in the way.
  $("alarm").className = isOpen ? "open" : "known";
  lines($("alarm-told"), isOpen ? trouble.alarms : trouble.why ? [t("alarm-kept", { why: trouble.why })] : []);
  lines($("alarm-unsaved"), trouble.unsaved);
  $("alarm-ok").hidden = !isOpen;
}

$("alarm-ok").addEventListener("click", () => press("acknowledge", undefined, t("alarm-ok")));
