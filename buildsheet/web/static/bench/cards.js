// A row of cards, one of them in sight, with a bar to go on and back.
const BOXES = "input:not([type=hidden]), select";

export function deckOf(place, { at = 0, words = "Next", moved = () => {}, last = () => false }) {
  const cards = [...place.querySelectorAll(".card")];
  const bar = barFor(place, words);
  const deck = { at: 0 };
  let atHoles = cards.some((each) => each.classList.contains("shape") && filled(each));

  const walked = () => cards.filter((each) => atHoles || !each.classList.contains("shape"));
  const now = () => cards[deck.at];

  deck.go = (card, { focus = true } = {}) => {
    if (!card) return;
    deck.at = cards.indexOf(card);
    for (const each of cards) each.classList.toggle("now", each === card);
    if (card.dataset.side) card.classList.add(card.dataset.side);
    const row = walked();
    bar.count.textContent = `${row.indexOf(card) + 1} of ${row.length}`;
    bar.back.disabled = row.indexOf(card) === 0;
    bar.next.hidden = row.indexOf(card) === row.length - 1;
    moved(card, deck.at);
    if (focus) deck.focus();
  };
  deck.focus = () => {
    const box = now().querySelector(BOXES);
    (box ?? now().querySelector("button") ?? bar.next).focus({ preventScroll: true });
    if (box?.type === "text") box.select();
  };
  deck.step = (by) => {
    const row = walked();
    const to = row[row.indexOf(now()) + by];
    if (by > 0 && to?.classList.contains("review") && last()) return;
    deck.go(to);
  };
  deck.onward = (box) => {
    const boxes = [...now().querySelectorAll(BOXES)];
    const following = boxes.slice(boxes.indexOf(box) + 1).find((each) => each.name !== box.name && open(each));
    if (following) following.focus();
    else deck.step(1);
  };
  deck.toHole = (hole) => {
    const kind = now().classList.contains("shape") ? "shape" : "tension";
    deck.go(cards.find((each) => each.dataset.hole === hole && each.classList.contains(kind)));
  };

  bar.next.addEventListener("click", () => deck.step(1));
  bar.back.addEventListener("click", () => deck.step(-1));
  // The keypad stays open: a thumb on the bar does not take the focus away.
  for (const each of [bar.next, bar.back]) each.addEventListener("pointerdown", (event) => event.preventDefault());
  for (const each of place.querySelectorAll("input.signed")) flip(each);
  holes(place, () => {
    atHoles = true;
    deck.step(1);
  });
  typingGauge(place, deck);
  for (const each of place.querySelectorAll("details.at-holes")) each.open = true;
  place.classList.add("live");
  deck.go(cards[Math.min(at, cards.length - 1)] ?? cards[0], { focus: false });
  // A box that is being typed in keeps its focus: to select it would have the next key wipe it out.
  if (now().dataset.hole && !now().contains(document.activeElement)) deck.focus();
  return deck;
}

// A question that is answered already is not asked again on the way.
const open = (box) => box.type !== "radio" || !box.closest("fieldset").querySelector("input:checked");
const filled = (card) => [...card.querySelectorAll("input")].some((each) => each.value.trim());

function button(words, name) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  made.className = name;
  return made;
}

function barFor(place, words) {
  place.querySelector(":scope > .bar")?.remove();
  const bar = document.createElement("div");
  bar.className = "bar";
  const back = button("← Back", "back");
  const count = document.createElement("p");
  count.className = "count";
  const next = button(`${words} →`, "next strong");
  bar.append(back, count, next);
  place.append(bar);
  return { back, count, next };
}

// Keypads for numbers often have no minus: a button turns the sign.
function flip(box) {
  const turn = button("±", "flip");
  turn.setAttribute("aria-label", "Turn the sign");
  turn.addEventListener("pointerdown", (event) => event.preventDefault());
  turn.addEventListener("click", () => {
    const text = box.value.trim();
    box.value = text.startsWith("-") ? text.slice(1) : `-${text}`;
    box.dispatchEvent(new Event("input", { bubbles: true }));
  });
  box.after(turn);
}

function holes(place, begin) {
  const first = place.querySelector('input[name="radial.typed_mm"]')?.closest(".card");
  if (!first) return;
  const offer = button("Read run-out at each hole", "at-each");
  offer.addEventListener("click", begin);
  first.append(offer);
}

// A gauge types wherever the focus is: a digit typed beside the boxes goes into the open one.
function typingGauge(place, deck) {
  const listen = (event) => {
    if (!place.isConnected) {
      document.removeEventListener("keydown", listen);
      return;
    }
    const idle = !event.target.closest("input:not([type=radio]), select, textarea");
    if (idle && /^[0-9]$/.test(event.key) && place.querySelector(".card.now .number")) deck.focus();
  };
  document.addEventListener("keydown", listen);
}
