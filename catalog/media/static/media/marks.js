// Marks on a photograph by finger, mouse or keyboard: [data-marks] holds the picture; its fields are those of the form that are
// typed without script. A press sets a point, or the next corner of a line or an area; nothing has to be dragged.
// Beside: [data-mark-slot] wraps the fields of one mark; the slot used last is the one that a press writes into.

const SVG = "http://www.w3.org/2000/svg";
const RUST = "#8E2A12";

const part = (slot, name) => slot.querySelector(`[name$="${name}"]`);
const shapeOf = (slot) => slot.querySelector('[name$="shape"]:checked')?.value ?? "";
const pointsOf = (slot) => {
  const figures = (part(slot, "position").value.match(/-?\d+(?:\.\d+)?/g) ?? []).map(Number);
  return figures.slice(0, figures.length - (figures.length % 2)).reduce((all, n, at) => (at % 2 ? all.at(-1).push(n) : all.push([n]), all), []);
};

function tell(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function write(slot, points) {
  const field = part(slot, "position");
  field.value = points.map(([x, y]) => `${x},${y}`).join(" ");
  tell(field);
}

function choose(slot, kind) {
  const pick = slot.querySelector(`[name$="shape"][value="${kind}"]`);
  if (!pick) return;
  pick.checked = true;
  tell(pick);
}

const make = (name, facts) => {
  const one = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(facts)) one.setAttribute(key, value);
  return one;
};

function outline(kind, points, ring) {
  const [[x, y]] = points;
  if (kind === "point") return ["circle", { cx: x, cy: y, r: ring }];
  if (points.length === 1) return ["circle", { cx: x, cy: y, r: ring / 4 }];
  if (kind === "area" && points.length === 2) {
    const [[a, b], [c, d]] = points;
    return ["rect", { x: Math.min(a, c), y: Math.min(b, d), width: Math.abs(a - c), height: Math.abs(b - d) }];
  }
  return [kind === "line" ? "polyline" : "polygon", { points: points.map((p) => p.join(",")).join(" ") }];
}

function attend(board) {
  const form = board.closest("form") ?? document.querySelector("form[data-marks-form]");
  const slots = [...form.querySelectorAll("[data-mark-slot]")];
  const picture = board.querySelector("img");
  let size = [Number(board.dataset.width), Number(board.dataset.height)];
  let now = slots.find((slot) => slot.dataset.markSlot === "new") ?? slots[0];
  if (!now || !picture) return;
  const layer = make("svg", { viewBox: `0 0 ${size[0]} ${size[1]}`, "aria-hidden": "true" });
  board.append(layer);
  const cross = make("path", { fill: "none", stroke: RUST, "stroke-width": 2, "vector-effect": "non-scaling-stroke" });
  let cursor = [Math.round(size[0] / 2), Math.round(size[1] / 2)];
  const usual = () => Math.max(1, Math.floor(Math.max(...size) / 30));
  const ringOf = (slot) => Number(part(slot, "radius_px")?.value) || usual();

  function draw() {
    layer.replaceChildren();
    for (const slot of slots) {
      const points = pointsOf(slot);
      const on = slot.querySelector("[data-mark-picture]")?.value;
      if (!points.length || (on && on !== board.dataset.picture)) continue;
      const [name, facts] = outline(shapeOf(slot) || "point", points, ringOf(slot));
      for (const [stroke, width] of [["#fff", 3.5], [RUST, slot === now ? 2.6 : 1.8]])
        layer.append(make(name, { ...facts, fill: "none", stroke, "stroke-width": width, "vector-effect": "non-scaling-stroke" }));
    }
    if (board.matches(":focus")) layer.append(cross);
    const [x, y] = cursor;
    const arm = usual();
    cross.setAttribute("d", `M${x - arm} ${y}h${2 * arm}M${x} ${y - arm}v${2 * arm}`);
  }

  function press(x, y) {
    cursor = [Math.min(Math.max(Math.round(x), 0), size[0]), Math.min(Math.max(Math.round(y), 0), size[1])];
    if (!shapeOf(now)) choose(now, "point");
    const box = now.closest("details");
    if (box) box.open = true;
    write(now, shapeOf(now) === "point" ? [cursor] : [...pointsOf(now), cursor]);
    const picked = now.querySelector("[data-mark-picture]");
    if (picked && picked.value !== board.dataset.picture) {
      picked.value = board.dataset.picture;
      tell(picked);
    }
    say(`Marked at ${cursor.join(", ")}.`);
    draw();
  }

  function resize(by) {
    const field = part(now, "radius_px");
    if (!field || !pointsOf(now).length) return;
    field.value = String(Math.max(1, Math.round(ringOf(now) * by)));
    tell(field);
    say(`The ring is ${field.value} pixels.`);
    draw();
  }

  function say(words) {
    const voice = document.getElementById("said");
    if (voice) voice.textContent = words;
  }

  board.tabIndex = 0;
  board.setAttribute("role", "application");
  board.setAttribute("aria-label", `${picture.alt}. Arrow keys move the cross, Enter marks, plus and minus change the ring, Backspace takes the last place back.`);
  picture.style.cursor = "crosshair";
  picture.draggable = false;
  board.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect();
    press(((event.clientX - box.left) / box.width) * size[0], ((event.clientY - box.top) / box.height) * size[1]);
  });
  const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  board.addEventListener("keydown", (event) => {
    const step = Math.max(1, Math.round(Math.max(...size) / (event.shiftKey ? 400 : 60)));
    const way = keys[event.key];
    if (way) cursor = cursor.map((at, axis) => Math.min(Math.max(at + way[axis] * step, 0), size[axis]));
    else if (event.key === "Enter") press(...cursor);
    else if (event.key === "+" || event.key === "-") resize(event.key === "+" ? 1.25 : 0.8);
    else if (event.key === "Backspace") write(now, pointsOf(now).slice(0, -1));
    else return;
    event.preventDefault();
    draw();
  });
  for (const name of ["focus", "blur"]) board.addEventListener(name, draw);
  for (const slot of slots) {
    slot.addEventListener("focusin", () => ((now = slot), draw()));
    slot.addEventListener("input", draw);
  }
  const tools = document.querySelector("[data-mark-tools]");
  if (tools) tools.hidden = false;
  tools?.addEventListener("click", (event) => {
    const deed = event.target.closest("button")?.dataset.deed;
    if (deed === "larger") resize(1.25);
    if (deed === "smaller") resize(0.8);
    if (deed === "back") (write(now, pointsOf(now).slice(0, -1)), draw());
    if (deed === "next") {
      now = slots.find((slot) => slot.dataset.markSlot === "new" && !pointsOf(slot).length) ?? now;
      const box = now.closest("details");
      if (box) box.open = true;
      now.querySelector("input, select")?.focus();
    }
  });
  // a picture taken just now is marked before it is sent: the same pixels, upright, as the house will count them
  form.querySelector("[data-photographs]")?.addEventListener("change", (event) => {
    const [file] = event.target.files ?? [];
    if (!file) return;
    const fresh = new Image();
    fresh.onload = () => {
      size = [fresh.naturalWidth, fresh.naturalHeight];
      layer.setAttribute("viewBox", `0 0 ${size[0]} ${size[1]}`);
      board.querySelectorAll("svg").forEach((svg) => svg !== layer && svg.remove());
      board.dataset.picture = "new";
      picture.width = size[0];
      picture.height = size[1];
      picture.src = fresh.src;
      picture.alt = "The photograph taken just now";
      draw();
    };
    fresh.src = URL.createObjectURL(file);
  });
  form.addEventListener("undercast:restored", draw);
  draw();
}

for (const board of document.querySelectorAll("[data-marks]")) attend(board);
