// The page's words, by key, as the program sends them; plural rules are the browser's own.

let messages = {};
let plurals = new Intl.PluralRules("en");
export let language = "en";

export async function load() {
  const answer = await fetch("/api/messages");
  if (!answer.ok) throw new Error(String(answer.status));
  const got = await answer.json();
  ({ language, messages } = got);
  plurals = new Intl.PluralRules(language);
  document.documentElement.lang = language;
  for (const node of document.querySelectorAll("[data-t]")) node.textContent = t(node.dataset.t);
  for (const node of document.querySelectorAll("[data-t-label]")) node.setAttribute("aria-label", t(node.dataset.tLabel));
}

/// The message of a key with its gaps filled. A key that is not there is shown as itself, so that it is found.
export function t(key, values = {}) {
  const parts = messages[key];
  return parts ? fill(parts, values) : key;
}

function fill(parts, values) {
  return parts.map((part) => {
    if (typeof part === "string") return part;
    if (part.value !== undefined) return String(values[part.value] ?? "");
    const { of, variants, default: other } = part.choice;
    const given = values[of];
    const exact = variants[String(given)];
    const chosen = exact ?? (typeof given === "number" ? variants[plurals.select(given)] : undefined) ?? variants[other];
    return fill(chosen, values);
  }).join("");
}
