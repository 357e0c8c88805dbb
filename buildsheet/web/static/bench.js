// The stand's page: one card at a time, the wheel drawn along, readings kept on the device until they are
// sent. Every form also works without this script; what is sent is the very same.
import { deckOf } from "./bench/cards.js";
import { drafts, forget, keep, newKey, recall, remember } from "./bench/drafts.js";
import { deliver } from "./bench/sending.js";
import { drawingOf } from "./bench/drawing.js";
import { fill, gaps, lastWords, typedEarly, valuesOf } from "./bench/forms.js";

const AGAIN_MS = 4000;
const LOOK_MS = 60000;
let busy = false;

const stand = () => document.getElementById("stand");
const knownKeys = (place) => new Set((place.dataset.keys ?? "").split(" "));

const say = (words, waiting = false) => {
  const sync = document.getElementById("sync");
  if (!sync) return;
  sync.textContent = words;
  sync.classList.toggle("waiting", waiting);
};

const nameOf = (form) => {
  const here = stand().dataset;
  return `bench/${here.serial}/${here.issue}/${form.dataset.form}`;
};

function lock(form, locked) {
  form.querySelector("fieldset.whole").disabled = locked;
}

// Every keystroke: all that stands in the form, under a key that was made once.
function keepForm(form, deck) {
  const name = nameOf(form);
  const draft = recall(name) ?? { key: newKey() };
  form.elements.namedItem("key").value = draft.key;
  const kept = keep(name, { ...draft, values: valuesOf(form), at: deck?.at ?? 0, where: form.action });
  say(kept ? "Kept on this device." : "This device keeps nothing: send before you leave.", !kept);
}

async function send(form) {
  const name = nameOf(form);
  keepForm(form, form.deck);
  const draft = recall(name) ?? { key: form.elements.namedItem("key").value, where: form.action };
  // From here on nothing of it may change: it may have arrived although no answer came.
  const frozen = { ...draft, body: new URLSearchParams(valuesOf(form)).toString() };
  keep(name, frozen);
  lastWords(form);
  lock(form, true);
  await attempt(name, frozen);
}

async function attempt(name, draft) {
  if (busy) return;
  busy = true;
  say("Sending …", true);
  const answer = await deliver(draft);
  busy = false;
  const here = name.startsWith(`bench/${stand().dataset.serial}/`);
  if (answer.outcome === "later") {
    say(answer.words ?? "Kept here, not yet sent. It goes out when the network is back.", true);
    return;
  }
  if (answer.outcome === "kept") forget(name);
  else keep(name, { ...draft, body: undefined });
  if (here && answer.page) show(answer.page, answer.address);
  else if (here) for (const form of document.querySelectorAll("form[data-form]")) lock(form, false);
  say(answer.outcome === "kept" ? "Sent and kept." : answer.words || "Not kept: mend it and send again.", answer.outcome !== "kept");
}

function show(page, address) {
  document.querySelector("main").replaceWith(page.querySelector("main"));
  document.title = page.title;
  history.replaceState(null, "", address);
  (document.getElementById("now") ?? document.querySelector("main")).focus({ preventScroll: true });
  begin();
  window.scrollTo(0, 0);
}

function waiting() {
  for (const [name, draft] of drafts()) if (draft.body) return [name, draft];
  return null;
}

function retry() {
  const next = waiting();
  if (next) attempt(...next);
}

function beginForm(form, drawing) {
  form.noValidate = true;
  const name = nameOf(form);
  const draft = recall(name);
  if (draft && knownKeys(stand()).has(draft.key)) forget(name);
  const open = recall(name);
  // A device may be slower than a hand. What was sent already is not changed by it.
  const early = open?.body ? new Set() : typedEarly(form);
  if (open?.values) fill(form, open.values, early);
  if (open) form.elements.namedItem("key").value = open.key;
  for (const place of ["by", "tension.gauge", "tension.unit"]) remember(form, place);
  const cards = form.querySelector("[data-cards]");
  const here = document.activeElement;
  const typing = early.has(here?.name) ? [...form.querySelectorAll(".card")].indexOf(here.closest(".card")) : -1;
  form.deck = cards
    ? deckOf(cards, { at: typing < 0 ? (open?.at ?? 0) : typing, moved: (card) => drawing?.point(card), last: () => form.dataset.form === "readings" && finish(form) })
    : null;
  const first = form.deck && "complete" in form.dataset && !open && typing < 0 && gaps(form)[0];
  if (first) form.deck.go(first.box.closest(".card"));
  form.addEventListener("input", (event) => {
    drawing?.typed(form, event.target);
    keepForm(form, form.deck);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input, select")) onward(form, event);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!busy) send(form);
  });
  drawing?.typed(form);
  if (open?.body) lock(form, true);
  else if (early.size) keepForm(form, form.deck);
  else if (open) say("Kept on this device.");
}

// Enter goes on, as a gauge or a scanner types it; after the last box it sends.
function onward(form, event) {
  event.preventDefault();
  if (scanned(form, event.target)) return;
  if (form.deck) {
    form.deck.onward(event.target);
    return;
  }
  const boxes = [...form.querySelectorAll("input:not([type=hidden]), select")].filter(
    (each) => each.type !== "radio" || each.checked || !form.querySelector(`input[name="${each.name}"]:checked`),
  );
  const following = boxes[boxes.indexOf(event.target) + 1];
  if (following) following.focus();
  else form.querySelector("button.send")?.focus();
}

// A label scanned where a number is asked opens the card of that part; one that is nowhere on the list is
// noted as lying in the box all the same.
function scanned(form, box) {
  const label = box.value.trim();
  const row = box.closest("[data-part]");
  if (!row || !box.classList.contains("number") || !label || /^[0-9]+$/.test(label)) return false;
  box.value = "";
  const part = [...form.querySelectorAll("[data-part]")].find((each) => each.dataset.part === label);
  const other = form.elements.namedItem("other");
  if (!part && other) other.value = `${other.value} ${label}`.trim();
  keepForm(form, form.deck);
  if (part) form.deck.go(part);
  else say(`${label} is not on the pick list: noted under anything else.`, true);
  return true;
}

// The last card: what is missing is said; where nothing is, it is sent at once.
function finish(form) {
  const missing = gaps(form);
  if (missing.length === 0) {
    send(form);
    return true;
  }
  const shown = missing.slice(0, 6).map((each) => each.words).join("; ");
  const more = missing.length > 6 ? ` and ${missing.length - 6} more` : "";
  const said = form.querySelector(".gaps");
  said.hidden = false;
  said.querySelector("p").textContent = `Not read yet: ${shown}${more}. Without it the pass is not judged.`;
  said.querySelector("button").onclick = () => {
    form.deck.go(missing[0].box.closest(".card"));
    missing[0].box.focus();
  };
  return false;
}

function beginTurns(drawing) {
  const cards = document.querySelector("[data-turns]");
  if (!cards) return;
  const here = stand().dataset;
  const name = `turns/${here.serial}/${here.issue}/${cards.dataset.turns}`;
  const deck = deckOf(cards, {
    at: Number(localStorage.getItem(name) ?? 0),
    words: "Turned, next",
    moved: (card, at) => {
      drawing?.point(card);
      localStorage.setItem(name, String(at));
    },
  });
  if (!document.querySelector("form[data-form=readings]")) deck.focus();
}

function leftOver() {
  const box = document.getElementById("left-over");
  if (!box) return;
  const { serial, issue } = stand().dataset;
  const name = `bench/${serial}/${issue}/readings`;
  const draft = recall(name);
  if (draft && knownKeys(stand()).has(draft.key)) forget(name);
  else if (draft?.values && !draft.body) {
    box.hidden = false;
    box.querySelector("p").textContent =
      `Readings typed under issue ${issue} lie on this device and were not sent. They are evidence, never a pass.`;
    box.querySelector("button").addEventListener("click", () => {
      const frozen = { ...draft, body: new URLSearchParams(draft.values).toString() };
      keep(name, frozen);
      attempt(name, frozen);
    });
  }
}

function begin() {
  if (!stand()) return;
  const drawing = drawingOf(document.querySelector(".stand-wheel"), document.getElementById("stand-data"));
  for (const form of document.querySelectorAll("form[data-form]")) beginForm(form, drawing);
  beginTurns(drawing);
  leftOver();
  drawing?.tapped((hole) => document.querySelector("form.readings")?.deck.toHole(hole));
  if (waiting()) say("Kept here, not yet sent.", true);
  retry();
}

// Somebody else has been at this wheel since the page was made: said at once, and nothing typed is touched.
function others(deeds) {
  const box = document.getElementById("meanwhile");
  if (!box || deeds.length === 0) return;
  const said = document.createElement("p");
  const list = deeds.map((each) => `${each.what} by ${each.by}`).join("; ");
  const first = document.createElement("strong");
  first.textContent = "While this page lay open, this was recorded:";
  const anew = document.createElement("a");
  anew.href = location.href;
  anew.textContent = "Show the wheel as it is now";
  said.append(first, ` ${list}. `, anew);
  box.replaceChildren(said);
  box.hidden = false;
}

// A sheet may be superseded while its page lies open: then it stops here, too.
async function look() {
  const here = stand();
  if (!here?.dataset.state || document.hidden || busy || !navigator.onLine) return;
  try {
    const answer = await fetch(`${here.dataset.state}?seen=${here.dataset.seen}`, { cache: "no-store" });
    const now = await answer.json();
    const stopped = now.in_force === false || (now.stops === true && document.getElementById("now"));
    if (answer.ok && stopped) location.reload();
    else if (answer.ok && here === stand()) others(now.meanwhile ?? []);
  } catch {
    // No network: what is typed stays here, and the next look asks again.
  }
}

addEventListener("online", retry);
document.addEventListener("visibilitychange", look);
setInterval(retry, AGAIN_MS);
setInterval(look, LOOK_MS);
begin();
