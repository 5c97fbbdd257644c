// The grid of a tray (table[data-tray][data-open]): one row is open at a time and handed on (`tray:keep`) as it is left.
// Its keys stand in tray-keys.js; what it hears, at the end.

const table = document.querySelector("table[data-tray][data-open]");
if (table) start();

function start() {
  const body = table.tBodies[0], { tray } = table.dataset;
  const draftName = `undercast-tray-${tray}`;
  const shape = document.querySelector("template[data-open-row]").content.firstElementChild;
  const names = [...shape.querySelectorAll("[name]")].map((field) => field.name);
  const kindWord = (key) => shape.querySelector(`option[value="${key}"]`)?.textContent ?? key;
  const say = (id, words) => (document.getElementById(id).textContent = words);
  const hex = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
  const uuid = () => hex().replace(/(.{8})(.{4}).(.{3}).(.{3})(.{12})/, "$1-$2-4$3-8$4-$5");
  const saved = new WeakMap();
  let at = null;

  const blank = () => Object.fromEntries(names.map((name) => [name, ""]));
  const shown = (row) => Object.fromEntries(names.map((name) => [name, cell(row, name).dataset.v ?? ""]));
  const cell = (row, name) => row.querySelector(`[data-col="${name}"]`);
  const field = (name) => at?.querySelector(`[name="${name}"]`);
  const typed = () => Object.fromEntries(names.map((name) => [name, field(name).value.trim()]));
  const same = (a, b) => names.every((name) => a[name] === b[name]);
  const empty = (cells) => same(cells, blank());

  function draw(row, cells) {
    for (const name of names) {
      const place = cell(row, name);
      place.dataset.v = cells[name];
      if (name === "number") {
        const textContent = cells.number || table.dataset.next;
        place.replaceChildren(Object.assign(document.createElement("button"), { type: "button", className: "go fig", textContent }));
      } else place.textContent = name === "kind" ? kindWord(cells.kind) : cells[name];
    }
  }

  const state = (row, words, wrong) => {
    row.lastElementChild.textContent = words;
    row.classList.toggle("harm", !!wrong);
  };

  // before the one that is not begun yet
  function newRow(id) {
    const waits = body.lastElementChild, before = id && waits && !waits.dataset.version && empty(shown(waits));
    const row = body.insertRow(before ? body.rows.length - 1 : -1);
    row.dataset.row = id ?? uuid();
    for (const name of names) Object.assign(row.insertCell(), { className: `col-${name}` }).dataset.col = name;
    row.insertCell().className = "col-kept small quiet";
    draw(row, blank());
    saved.set(row, blank());
    state(row, "not yet");
    return row;
  }

  function last() {
    const row = body.lastElementChild;
    return row && row !== at && empty(shown(row)) ? row : newRow();
  }

  function open(row, name = "mass_g") {
    if (at !== row) {
      leave();
      const cells = shown(row);
      at = row;
      row.classList.add("at");
      row.dataset.kept = row.lastElementChild.textContent;
      for (const part of shape.cells) {
        const copy = part.cloneNode(true), place = part.dataset.col ? cell(row, part.dataset.col) : row.lastElementChild;
        place.dataset.h = part.dataset.h ?? "";
        place.replaceChildren(...copy.childNodes);
      }
      for (const part of names) field(part).value = cells[part];
      field("number").placeholder = table.dataset.next;
      if (row.dataset.version) field("number").readOnly = true;
    }
    field(name).focus();
    field(name).select?.();
  }

  function leave() {
    if (!at) return;
    const row = at, cells = typed();
    at = null;
    row.classList.remove("at", "arrived");
    draw(row, cells);
    state(row, row.dataset.kept);
    localStorage.removeItem(draftName);
    if (empty(cells) || same(cells, saved.get(row))) return;
    saved.set(row, cells);
    state(row, "…");
    table.dispatchEvent(new CustomEvent("tray:keep", { detail: { ...row.dataset, cells } }));
  }

  function move(down, name) {
    if (!at || (down && !at.nextElementSibling && empty(typed()))) return;
    const next = down ? at.nextElementSibling ?? last() : at.previousElementSibling;
    if (next) open(next, name);
  }

  const find = (id) => body.querySelector(`[data-row="${CSS.escape(id)}"]`);

  // What the house says of a row.
  function told(said) {
    const row = find(said.row) ?? newRow(said.row);
    if (said.next) table.dataset.next = said.next;
    for (const [part, words] of Object.entries(said.sums ?? {})) document.querySelector(`[data-sum-${part}]`)?.replaceChildren(words);
    // told when it is kept
    if (row === at && !said.mine) return;
    row.dataset.version = said.version;
    delete row.dataset.reading;
    const changed = row !== at && !same(shown(row), saved.get(row));
    saved.set(row, said.cells);
    if (row === at) return (row.dataset.kept = said.kept);
    if (!changed) draw(row, said.cells);
    state(row, said.doubt ? `${said.kept}, doubt: ${said.doubt}` : said.kept);
    row.classList.toggle("doubted", !!said.doubt);
    if (said.mine) say("said", `${said.suffix}${said.cells.mass_g ? `, ${said.cells.mass_g} grams` : ""} kept. ${said.doubt}`);
    for (const one of body.querySelectorAll(".go")) if (!one.parentElement.dataset.v) one.textContent = table.dataset.next;
    if (at && !at.dataset.version) field("number").placeholder = table.dataset.next;
  }

  function waits({ row: id, words, wrong, cells, said }) {
    const row = find(id) ?? newRow(id);
    if (cells && row !== at) draw(row, { ...blank(), ...cells });
    if (cells) saved.set(row, shown(row));
    if (wrong) saved.set(row, blank());
    if (row === at) row.dataset.kept = words;
    else state(row, words, wrong);
    if (said) say(wrong ? "alarm" : "said", said);
  }

  function arrive(reading) {
    if (!at || field("mass_g").value.trim()) return;
    field("mass_g").value = reading.mass_g;
    at.dataset.reading = reading.key;
    at.dataset.from = reading.instrument;
    at.classList.add("arrived");
    const number = field("number").value || table.dataset.next, going = document.activeElement === field("mass_g");
    if (going) move(true, "mass_g");
    say("said", `${number}, ${reading.mass_g} grams.${going ? ` Next ${at.dataset.version ? field("number").value : "row"}.` : ""}`);
  }

  // The cells as they were when the row was opened; where nothing was changed, out of the rows.
  function undo() {
    const was = saved.get(at);
    if (same(typed(), was)) return document.getElementById("sums").focus();
    for (const name of names) field(name).value = was[name];
    localStorage.removeItem(draftName);
  }

  function openNumber(number) {
    const there = [...body.rows].find((row) => shown(row).number === number);
    open(there ?? last());
    if (!there) field("number").value = number;
  }

  const draft = () => at && localStorage.setItem(draftName, JSON.stringify({ row: at.dataset.row, cells: typed() }));

  function restore() {
    const kept = JSON.parse(localStorage.getItem(draftName) ?? "null");
    if (!kept) return open(last());
    open(find(kept.row) ?? last());
    if (!at.dataset.version) at.dataset.row = kept.row;
    for (const name of names) field(name).value = kept.cells[name] ?? "";
    say("said", "What you were typing is here again.");
  }

  for (const row of body.rows) saved.set(row, shown(row));
  body.addEventListener("input", draft);
  body.addEventListener("click", (event) => {
    const row = event.target.closest("tr"), place = event.target.closest("td");
    if (event.target.closest(".keep")) move(true, "mass_g");
    else if (row && row !== at) open(row, names.includes(place?.dataset.col) && place.dataset.col !== "number" ? place.dataset.col : "mass_g");
  });
  body.addEventListener("focusout", () => setTimeout(() => at && !at.contains(document.activeElement) && document.hasFocus() && leave()));
  const HEARD = { go: ({ down, name }) => move(down, name), undo, number: openNumber, told, state: waits, reading: arrive };
  for (const [name, deed] of Object.entries(HEARD)) table.addEventListener(`tray:${name}`, (event) => deed(event.detail));
  restore();
}
