// In pencil: what is typed into a form marked data-pencil is kept on this device 400 ms after the last key,
// comes back when the form is opened again, and ends with the act that writes it.

const DAYS_KEPT = 90;
const WAIT_MS = 400;
const ACTED = "undercast.acted";
const who = document.documentElement.dataset.who ?? "";

function open() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("undercast-pencil", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("drafts", { keyPath: "id" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

async function drafts(mode, deed) {
  const base = await open();
  return new Promise((done, failed) => {
    const work = base.transaction("drafts", mode);
    const answer = deed(work.objectStore("drafts"));
    work.oncomplete = () => (base.close(), done(answer.result));
    work.onerror = () => (base.close(), failed(work.error));
  });
}

const keep = (draft) => drafts("readwrite", (store) => store.put(draft));
const find = (id) => drafts("readonly", (store) => store.get(id));
const end = (id) => drafts("readwrite", (store) => store.delete(id));
const all = () => drafts("readonly", (store) => store.getAll());

const idOf = (form) => `${who}|${form.dataset.pencil}`;
const NOT_KEPT = new Set(["password", "file", "submit", "button"]);
const passedOver = (field) => !field.name || NOT_KEPT.has(field.type) || (field.type === "hidden" && !("kept" in field.dataset));

function written(form) {
  const kept = [];
  for (const field of form.elements) {
    if (passedOver(field) || field.autocomplete === "one-time-code") continue;
    if (field.type === "radio" || field.type === "checkbox") kept.push([field.name, field.value, field.checked]);
    else kept.push([field.name, field.value]);
  }
  return kept;
}

function writeBack(form, kept) {
  for (const [name, value, checked] of kept) {
    for (const field of form.elements) {
      if (field.name !== name || passedOver(field)) continue;
      if (checked === undefined) field.value = value;
      else if (field.value === value) field.checked = checked;
    }
  }
  for (const box of form.querySelectorAll("details")) {
    box.open ||= [...box.querySelectorAll("input, textarea, select")].some((f) => f.value !== f.defaultValue && f.type !== "hidden");
  }
}

const hour = (at) => new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" }).format(at);
const dayAndHour = (at) =>
  at.toDateString() === new Date().toDateString()
    ? `today ${hour(at)}`
    : new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" }).format(at);

function show(form, words, { spoken = false } = {}) {
  const line = form.querySelector("[data-pencil-state]");
  if (!line) return;
  line.hidden = false;
  line.querySelector("[data-pencil-words]").textContent = words;
  line.querySelector("[data-pencil-end]").hidden = false;
  const voice = document.getElementById("said");
  if (spoken && voice) voice.textContent = words;
}

function attend(form) {
  let timer;
  let spoken = false;
  const blank = JSON.stringify(written(form));
  const save = async () => {
    const kept = written(form);
    if (JSON.stringify(kept) === blank && !spoken) return;
    const at = new Date();
    const version = form.elements.version?.value ?? "";
    await keep({ id: idOf(form), who, name: form.dataset.pencil, kept, version, at, page: location.pathname + location.search,
      title: document.querySelector("h1")?.textContent.trim() ?? document.title });
    show(form, `In pencil, kept on this device ${hour(at)}`, { spoken: !spoken });
    spoken = true;
  };
  const soon = () => (clearTimeout(timer), (timer = setTimeout(save, WAIT_MS)));
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("undercast:kept", () => (clearTimeout(timer), end(idOf(form))));
  form.addEventListener("submit", (event) => {
    setTimeout(() => !event.defaultPrevented && sessionStorage.setItem(ACTED, idOf(form)));
    clearTimeout(timer);
    if (form.dataset.pencilDirty) save();
  });
  form.addEventListener("input", () => (form.dataset.pencilDirty = "yes"), { once: true });
  form.querySelector("[data-pencil-end]")?.addEventListener("click", async () => {
    clearTimeout(timer);
    await end(idOf(form));
    form.reset();
    form.querySelector("[data-pencil-state]").hidden = true;
  });
}

async function restore(form) {
  const draft = await find(idOf(form)).catch(() => null);
  if (!draft || "bound" in form.dataset) return;
  writeBack(form, draft.kept);
  const changed = draft.version !== (form.elements.version?.value ?? "");
  show(form, `In pencil from ${dayAndHour(draft.at)}. ${changed ? "The record was changed since then: look at both." : "What you wrote is here again."}`);
  form.dispatchEvent(new CustomEvent("undercast:restored", { bubbles: true }));
}

// A draft ends when its act led on to another page, or to one that says what was done; not on an error, not at the sign-in.
async function endWhatWasWritten() {
  const id = sessionStorage.getItem(ACTED);
  sessionStorage.removeItem(ACTED);
  if (!id || "error" in document.body.dataset || location.pathname.startsWith("/sign-in")) return;
  const same = [...document.querySelectorAll("form[data-pencil]")].find((form) => idOf(form) === id);
  if (!same || document.querySelector("[data-after-act]")) await end(id);
}

async function forgetOld() {
  const limit = Date.now() - DAYS_KEPT * 86_400_000;
  for (const draft of await all()) if (draft.at < limit) await end(draft.id);
}

// Today lists what was left in pencil: data-pencil-list holds a <template> with [data-title], [data-when] and a link.
async function list() {
  const place = document.querySelector("[data-pencil-list]");
  if (!place) return;
  const row = place.querySelector("template");
  const mine = (await all()).filter((draft) => draft.who === who).sort((a, b) => b.at - a.at);
  for (const draft of mine) {
    const line = row.content.cloneNode(true);
    line.querySelector("[data-title]").textContent = draft.title;
    line.querySelector("[data-when]").textContent = dayAndHour(draft.at);
    line.querySelector("a").href = draft.page;
    place.append(line);
  }
  const whole = place.closest("[data-pencil-sheet]");
  if (whole) whole.hidden = !mine.length;
}

if ("indexedDB" in window) {
  await endWhatWasWritten();
  for (const form of document.querySelectorAll("form[data-pencil]")) {
    await restore(form);
    attend(form);
  }
  await forgetOld();
  await list();
}
