// The chooser: a text field that offers what is known (places, people, taxa, casts, excavations) from two letters on.
// ARIA combobox with a list: arrows move, Enter takes, Escape keeps the words. Without script it is the text field alone.
// What was chosen stands in the hidden fields NAME_value and NAME_was; it counts only while the text is still NAME_was.

const LEAST_LETTERS = 2;
const WAIT_MS = 150;

function fit(box) {
  const list = document.createElement("ul");
  list.id = `${box.id}_offers`;
  list.className = "offers";
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", "What is known");
  list.hidden = true;
  box.closest(".chooser").append(list);
  for (const [name, value] of [["role", "combobox"], ["aria-autocomplete", "list"], ["aria-controls", list.id], ["aria-expanded", "false"]]) {
    box.setAttribute(name, value);
  }
  return { box, list, at: -1, items: [], asked: 0 };
}

const companion = (box, which) => box.form?.elements[`${box.name}_${which}`];

function close(chooser) {
  chooser.list.hidden = true;
  chooser.at = -1;
  chooser.box.setAttribute("aria-expanded", "false");
  chooser.box.removeAttribute("aria-activedescendant");
}

function take(chooser, item) {
  const { box } = chooser;
  if (item.value !== undefined) {
    box.value = item.name;
    companion(box, "value").value = item.value;
    companion(box, "was").value = item.name;
  }
  close(chooser);
  box.dispatchEvent(new Event("input", { bubbles: true }));
  box.dispatchEvent(new CustomEvent("undercast:chosen", { bubbles: true, detail: item }));
}

function point(chooser, to) {
  const rows = [...chooser.list.children];
  if (!rows.length) return;
  chooser.at = (to + rows.length) % rows.length;
  rows.forEach((row, n) => row.setAttribute("aria-selected", String(n === chooser.at)));
  rows[chooser.at].scrollIntoView({ block: "nearest" });
  chooser.box.setAttribute("aria-activedescendant", rows[chooser.at].id);
}

function rowOf(chooser, item, n) {
  const row = document.createElement("li");
  row.id = `${chooser.list.id}_${n}`;
  row.setAttribute("role", "option");
  row.setAttribute("aria-selected", "false");
  const name = document.createElement("span");
  name.textContent = item.name;
  row.append(name);
  if (item.hint) {
    const hint = document.createElement("small");
    hint.textContent = item.hint;
    row.append(hint);
  }
  row.addEventListener("pointerdown", (event) => event.preventDefault());
  row.addEventListener("click", () => take(chooser, item));
  return row;
}

function offer(chooser, items) {
  const typed = chooser.box.value.trim();
  const fresh = chooser.box.dataset.asNew;
  const known = items.some((item) => item.name.toLowerCase() === typed.toLowerCase());
  chooser.items = fresh && !known ? [...items, { name: fresh.replace("…", typed) }] : items;
  chooser.list.replaceChildren(...chooser.items.map((item, n) => rowOf(chooser, item, n)));
  chooser.at = -1;
  chooser.list.hidden = !chooser.items.length;
  chooser.box.setAttribute("aria-expanded", String(!!chooser.items.length));
  const voice = document.getElementById("said");
  if (voice) voice.textContent = items.length ? `${items.length} known, arrow down to choose` : "None known by these words; they are kept as written.";
}

async function look(chooser) {
  const { box } = chooser;
  const words = box.value.trim();
  const turn = ++chooser.asked;
  if (words.length < LEAST_LETTERS || companion(box, "was")?.value === box.value) return close(chooser);
  try {
    const query = new URLSearchParams({ kind: box.dataset.kind, q: words });
    const answer = await fetch(`/find/suggest/?${query}`, { headers: { Accept: "application/json" } });
    const { items } = answer.ok ? await answer.json() : { items: [] };
    if (turn === chooser.asked && document.activeElement === box) offer(chooser, items.slice(0, 8));
  } catch {
    close(chooser);
  }
}

function onKey(chooser, event) {
  const openNow = !chooser.list.hidden;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    event.preventDefault();
    if (openNow) point(chooser, chooser.at + (event.key === "ArrowDown" ? 1 : chooser.at < 0 ? 0 : -1));
    else look(chooser);
  } else if (event.key === "Enter" && openNow && chooser.at >= 0) {
    event.preventDefault();
    take(chooser, chooser.items[chooser.at]);
  } else if (event.key === "Escape" && openNow) {
    event.preventDefault();
    close(chooser);
  } else if (event.key === "Tab") close(chooser);
}

for (const box of document.querySelectorAll("[data-chooser]")) {
  const chooser = fit(box);
  let timer;
  box.addEventListener("input", (event) => {
    if (!event.isTrusted) return;
    clearTimeout(timer);
    timer = setTimeout(() => look(chooser), WAIT_MS);
  });
  box.addEventListener("keydown", (event) => onKey(chooser, event));
  box.addEventListener("blur", () => close(chooser));
}
