// A form as pairs of name and text, and back.
export function valuesOf(form) {
  const whole = form.querySelector("fieldset.whole");
  const locked = whole.disabled;
  whole.disabled = false;
  const pairs = [...new FormData(form)].map(([name, text]) => [name, String(text)]);
  whole.disabled = locked;
  return pairs;
}

// The names of what was typed while this script was still on its way: it stands in the form and in no draft.
export function typedEarly(form) {
  const boxes = [...form.querySelectorAll("input:not([type=hidden]), select")];
  return new Set(boxes.filter(changed).map((each) => each.name));
}

function changed(box) {
  if (box.type === "radio" || box.type === "checkbox") return box.checked !== box.defaultChecked;
  if (!box.options) return box.value !== box.defaultValue;
  const offered = [...box.options].findIndex((each) => each.defaultSelected);
  return box.selectedIndex !== Math.max(offered, 0);
}

export function fill(form, pairs, except = new Set()) {
  const said = new Map();
  for (const [name, text] of pairs) said.set(name, [...(said.get(name) ?? []), text]);
  for (const each of form.querySelectorAll("input, select")) {
    if (each.name === "key" || each.name === "issue" || each.name === "seen" || each.readOnly || except.has(each.name)) continue;
    const texts = said.get(each.name);
    if (each.type === "radio" || each.type === "checkbox") each.checked = texts?.includes(each.value) ?? false;
    else if (texts) each.value = texts.at(-1);
  }
}

export function lastWords(form) {
  for (const place of ["by", "tension.gauge", "tension.unit"]) {
    const field = form.elements.namedItem(place);
    if (field?.value) localStorage.setItem(`last/${place}`, field.value);
  }
}

const words = (label) => (label?.firstChild?.textContent ?? "").trim().toLowerCase();

// What a pass still lacks, as boxes with words; run-out at the holes stands for the figure of a turn.
export function gaps(form) {
  const missing = [];
  const atHoles = (group) => [...form.querySelectorAll(`input[name^="${group}.by_hole_mm."]`)].every((each) => each.value.trim());
  const seen = new Set();
  for (const each of form.querySelectorAll("input:not([type=hidden]), select")) {
    const group = each.name.split(".")[0];
    if (each.name.includes(".by_hole_mm.") || group === "threads" || seen.has(each.name)) continue;
    seen.add(each.name);
    if ((group === "lateral" || group === "radial") && atHoles(group)) continue;
    if (each.type === "radio") {
      if (!form.querySelector(`input[name="${each.name}"]:checked`))
        missing.push({ box: each, words: words(each.closest("fieldset.ask").querySelector("legend")) });
    } else if (!each.value.trim()) missing.push({ box: each, words: words(each.labels?.[0]) || each.name });
  }
  const ends = ["in", "below", "above"].map((each) => form.elements.namedItem(`threads.${each}`));
  if (ends[0] && !ends.some((each) => each.value.trim())) missing.push({ box: ends[0], words: "spoke ends" });
  return missing;
}
