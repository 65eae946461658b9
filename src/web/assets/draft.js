// What was typed and not sent yet: kept by the browser until it is sent or cleared, so that a reload, a lost
// connection or a closed sheet takes nothing away. Gone with the browser's tab, since it may name a patient.

const key = (name) => "sulcus-draft-" + name;

/// Keeps all named fields within a node from now on, and puts back what was typed before. True where there was any.
export function keep(name, node) {
  const fields = [...node.querySelectorAll("input[name], textarea[name], select[name]")];
  const kept = read(name);
  for (const field of kept ? fields : []) {
    if (field.type === "radio") field.checked = kept[field.name] === field.value;
    else if (field.type === "checkbox") field.checked = Boolean(kept[field.name]);
    else if (kept[field.name] !== undefined) field.value = kept[field.name];
  }
  const save = () => {
    const values = {};
    for (const field of fields) {
      if (field.type === "radio") { if (field.checked) values[field.name] = field.value; }
      else values[field.name] = field.type === "checkbox" ? field.checked : field.value;
    }
    sessionStorage.setItem(key(name), JSON.stringify(values));
  };
  node.addEventListener("input", save);
  node.addEventListener("change", save);
  return kept !== null;
}

export const drop = (name) => sessionStorage.removeItem(key(name));

function read(name) {
  try {
    return JSON.parse(sessionStorage.getItem(key(name)));
  } catch {
    return null;
  }
}
