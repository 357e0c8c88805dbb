// What is typed, kept on the device: one draft for each form of a wheel and an issue of its sheet.
const FRONT = "bench/";

// crypto.randomUUID is not there without https; getRandomValues is.
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((each) => each.toString(16).padStart(2, "0")).join("");
}

export function keep(name, draft) {
  try {
    localStorage.setItem(name, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

export function recall(name) {
  try {
    return JSON.parse(localStorage.getItem(name) ?? "null");
  } catch {
    return null;
  }
}

export function forget(name) {
  localStorage.removeItem(name);
}

export function drafts() {
  return Object.keys(localStorage)
    .filter((name) => name.startsWith(FRONT))
    .map((name) => [name, recall(name)])
    .filter(([, draft]) => draft);
}

// Who typed last, with which gauge: offered again where nothing stands yet, and asked all the same.
export function remember(form, place) {
  const said = localStorage.getItem(`last/${place}`);
  const field = form.elements.namedItem(place);
  if (said && field && !field.value) field.value = said;
}
