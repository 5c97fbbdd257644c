// The keys of the grid of a tray: Enter down, Tab across, arrows, `.` as above, Ctrl Enter the whole row, `+` `-` faces,
// `c` into the crumbs, `/` another piece, Escape; a number that was typed or scanned opens its row; rows that are pasted are looked at.

const table = document.querySelector("table[data-tray][data-open]");
const finder = document.querySelector("[data-find-row]");
const AS_ABOVE = ["kind", "depth", "side", "up"];
const OWN = ["number", "mass_g"];

const go = (down, name) => table.dispatchEvent(new CustomEvent("tray:go", { detail: { down, name } }));
const fields = (field) => [...field.closest("tr").querySelectorAll("[name]")];

function asAbove(field, names) {
  const above = field.closest("tr").previousElementSibling;
  for (const one of fields(field)) {
    if (names.includes(one.name)) one.value = above?.querySelector(`[data-col="${one.name}"]`).dataset.v ?? "";
  }
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function faces(field, more) {
  if (field.name !== "faces") return false;
  field.value = Math.max(0, Number(field.value || 0) + more);
  return field.dispatchEvent(new Event("input", { bubbles: true }));
}

function intoCrumbs(field) {
  if (field.name !== "mass_g") return false;
  document.getElementById("crumbs-g").value = field.value;
  field.value = "";
  return document.getElementById("crumbs-n").focus();
}

function across(field, back) {
  const row = fields(field);
  if (!back && field === row.at(-1)) return go(true, row[0].name);
  if (back && field === row[0] && field.closest("tr").previousElementSibling) return go(false, row.at(-1).name);
  return false;
}

// Each says false where the key is the field's own.
const KEYS = {
  Enter: (field, { ctrlKey }) => (ctrlKey ? asAbove(field, fields(field).map((f) => f.name).filter((n) => !OWN.includes(n))) : go(true, field.name)),
  ArrowDown: (field) => !field.matches("select") && go(true, field.name),
  ArrowUp: (field) => !field.matches("select") && go(false, field.name),
  Tab: (field, { shiftKey }) => across(field, shiftKey),
  ".": (field) => AS_ABOVE.includes(field.name) && !(field.matches("input") && field.value) && asAbove(field, [field.name]),
  "+": (field) => faces(field, 1),
  "-": (field) => faces(field, -1),
  "/": (field) => field.name !== "note" && finder.focus(),
  c: (field, { ctrlKey }) => !ctrlKey && intoCrumbs(field),
  Escape: () => table.dispatchEvent(new CustomEvent("tray:undo")),
};

function onKey(event) {
  const own = event.target.name && Object.hasOwn(KEYS, event.key) && !(event.isComposing || event.altKey || event.metaKey);
  if (own && KEYS[event.key](event.target, event) !== false) event.preventDefault();
}

function onNumber(event) {
  const said = (event.detail?.number || event.detail?.text || finder.value).trim();
  const number = said.startsWith(`${table.dataset.cast}.`) ? said.slice(table.dataset.cast.length + 1) : said;
  if (!number) return;
  event.preventDefault();
  finder.value = "";
  table.dispatchEvent(new CustomEvent("tray:number", { detail: number }));
}

function onPaste(event) {
  const text = event.clipboardData.getData("text");
  if (!text.trim().includes("\n") && !text.includes("\t")) return;
  event.preventDefault();
  const form = document.querySelector("[data-paste] form");
  form.elements.rows.value = text;
  form.requestSubmit();
}

if (table) {
  table.tBodies[0].addEventListener("keydown", onKey);
  table.tBodies[0].addEventListener("paste", onPaste);
  finder.addEventListener("keydown", (event) => event.key === "Enter" && onNumber(event));
  finder.addEventListener("undercast:scanned", onNumber);
}
