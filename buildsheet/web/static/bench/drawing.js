// The drawing follows what is typed. It is a preview against the targets: the verdict is the server's.
const NEWTON_PER_KGF = 9.80665;
const FULL_SHARE = 0.2;
const SHAPES = { unread: "○", low: "▼", in: "●", high: "▲", above: "⬣" };
const WORDS = { low: "low", in: "in the band", high: "high", above: "ABOVE STOP: slacken it now" };

export function drawingOf(svg, data) {
  if (!svg || !data) return null;
  const wheel = JSON.parse(data.textContent);
  const { middle, swing } = svg.dataset;
  const spokes = new Map([...svg.querySelectorAll(".spoke")].map((each) => [each.dataset.hole, each]));

  const point = (card) => {
    for (const [hole, each] of spokes) each.classList.toggle("here", hole === card?.dataset.hole);
  };

  const redraw = (box, gauge, unit) => {
    const card = box.closest(".card");
    const { hole, side } = card.dataset;
    const spoke = spokes.get(hole);
    const typed = number(box.value);
    const said = judge(wheel, side, typed, gauge, unit);
    spoke.classList.remove("unread", "low", "in", "high", "above");
    spoke.classList.add(said.mark);
    spoke.querySelector(".reading").textContent = typed === null ? "" : box.value.trim();
    const use = spoke.querySelector("use");
    use.setAttribute("href", `#m-${said.mark}`);
    const angle = (Number(spoke.dataset.angle) * Math.PI) / 180;
    const share = Math.max(-1, Math.min(1, (said.share ?? 0) / FULL_SHARE));
    const radius = Number(middle) + Number(swing) * share;
    use.setAttribute("transform", `translate(${(radius * Math.sin(angle)).toFixed(1)} ${(-radius * Math.cos(angle)).toFixed(1)})`);
    card.querySelector(".place").textContent = said.words;
    const goal = card.querySelector(".goal");
    if (unit === "scale") goal.textContent = onScale(wheel, side, gauge) ?? goal.textContent;
  };

  const typed = (form, box) => {
    if (!form.classList.contains("readings")) return;
    const gauge = form.elements.namedItem("tension.gauge")?.value ?? "";
    const unit = form.elements.namedItem("tension.unit")?.value ?? "";
    const one = box?.name?.startsWith("tension.typed.");
    const boxes = one ? [box] : box && !box.name.startsWith("tension.") ? [] : form.querySelectorAll('input[name^="tension.typed."]');
    for (const each of boxes) redraw(each, gauge, unit);
  };

  const tapped = (go) => {
    for (const [hole, each] of spokes) each.addEventListener("click", () => go(hole));
  };
  return { point, typed, tapped };
}

export function number(text) {
  const plain = text.trim().replace(",", ".");
  return /^[+-]?[0-9]+([.][0-9]+)?$/.test(plain) ? Number(plain) : null;
}

// Newtons for what was typed; null beyond the table, as the bench itself has it.
export function newtons(table, typed, unit) {
  if (!table) return unit === "scale" ? null : typed * (unit === "kgf" ? NEWTON_PER_KGF : 1);
  if (unit !== "scale") return typed * (unit === "kgf" ? NEWTON_PER_KGF : 1);
  return between(table.curve, typed);
}

function between(curve, at) {
  for (let place = 1; place < curve.length; place += 1) {
    const [x0, y0] = curve[place - 1];
    const [x1, y1] = curve[place];
    if (x0 <= at && at <= x1) return y0 + ((y1 - y0) * (at - x0)) / (x1 - x0 || 1);
  }
  return null;
}

function onScale(wheel, side, gauge) {
  const curve = wheel.gauges[gauge]?.[side]?.curve;
  if (!curve) return null;
  const turned = curve.map(([shown, force]) => [force, shown]).sort((a, b) => a[0] - b[0]);
  const shown = between(turned, wheel.target_n[side]);
  return shown === null ? null : `${shown.toFixed(1)} on the scale, ${wheel.target_n[side].toFixed(0)} N`;
}

function judge(wheel, side, typed, gauge, unit) {
  if (typed === null) return { mark: "unread", words: "" };
  if (!unit) return { mark: "unread", words: "Say first what the gauge shows." };
  const table = wheel.gauges[gauge]?.[side];
  const force = newtons(table, typed, unit);
  if (force === null) return { mark: "unread", words: table ? "Beyond the gauge's table: not judged" : "No table for this spoke: not judged" };
  const share = force / wheel.target_n[side] - 1;
  const off = `${share < 0 ? "−" : "+"}${Math.abs(100 * share).toFixed(0)} % against target`;
  const inNewtons = unit === "n" ? "" : `${force.toFixed(0)} N, `;
  let mark = "in";
  if (force > wheel.stop_n) mark = "above";
  else if (Math.abs(share) > wheel.band_share + 1e-9) mark = share < 0 ? "low" : "high";
  const beyond = table && (force < table.low_n || force > table.high_n) ? "; beyond the gauge's table" : "";
  return { mark, share, words: `${SHAPES[mark]} ${WORDS[mark]}: ${inNewtons}${off}${beyond}` };
}
