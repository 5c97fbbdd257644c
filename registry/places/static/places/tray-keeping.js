// Rows of a tray are kept: sent one by one under a key each; without signal they wait in the outbox, in order, and are shown
// when the tray is opened again. It hears `tray:keep` and tells `tray:told` or `tray:state`.

const table = document.querySelector("table[data-tray][data-open]");
const API = "/api/v1/tray-rows/";
const { tray } = table?.dataset ?? {};
const tell = (name, detail) => table.dispatchEvent(new CustomEvent(name, { detail }));
const freshKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
const LATER = [401, 403, 408, 429];

function fieldsOf({ row, version, reading, from, cells }) {
  const fields = [["tray", tray], ["row", row], ...Object.entries(cells).filter(([, value]) => value)];
  if (version) fields.push(["version", version]);
  if (reading) fields.push(["instrument", from], ["reading", reading]);
  return fields;
}

async function send(thing) {
  const body = new FormData();
  for (const [name, value] of [...thing.fields, ["made_at", thing.made_at]]) body.append(name, value);
  const csrf = document.querySelector("[name=csrfmiddlewaretoken]").value;
  const headers = { "Idempotency-Key": thing.key, "X-CSRFToken": csrf, Accept: "application/json" };
  return fetch(API, { method: "POST", body, headers, redirect: "error", signal: AbortSignal.timeout(15000) });
}

// One after the other: a row that is changed twice in a moment is sent in the order in which it was changed.
let row = Promise.resolve();

async function keep(detail) {
  const thing = { key: freshKey(), fields: fieldsOf(detail), made_at: new Date().toISOString() };
  const answer = navigator.onLine ? await send(thing).catch(() => null) : null;
  if (!answer || LATER.includes(answer.status) || answer.status >= 500) return wait(detail, thing);
  const said = await answer.json();
  if (answer.ok) return tell("tray:told", { ...said, mine: true });
  const words = said.errors?.map((error) => error.detail).join(" ") || said.detail;
  tell("tray:state", { row: detail.row, words: `not kept: ${words}`, wrong: true, said: `Not kept. ${words}` });
}

// The outbox's own shelf on this device (look/outbox.js sends what lies there).
const shelf = () =>
  new Promise((done, failed) => {
    const asked = indexedDB.open("undercast-outbox", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("kept", { keyPath: "id", autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });

async function wait(detail, thing) {
  const who = document.documentElement.dataset.who ?? "";
  const title = `Tray ${tray}, piece ${detail.cells.number || "without a number yet"}`;
  try {
    const base = await shelf();
    const work = base.transaction("kept", "readwrite");
    work.objectStore("kept").put({ ...thing, who, title, api: API, page: location.pathname, state: "waiting", sentences: [] });
    work.oncomplete = () => base.close();
    tell("tray:state", { row: detail.row, words: "on this device", said: "Kept on this device; it is sent when there is signal." });
  } catch {
    const words = "This device has no room to keep it. Leave this page open.";
    tell("tray:state", { row: detail.row, words, wrong: true, said: words });
  }
}

async function show() {
  const base = await shelf();
  const asked = base.transaction("kept").objectStore("kept").getAll();
  asked.onsuccess = () => {
    base.close();
    for (const thing of asked.result) {
      const told = Object.fromEntries(thing.fields);
      if (thing.api !== API || thing.state === "sent" || told.tray !== tray) continue;
      const wrong = thing.state === "refused";
      const cells = Object.fromEntries(Object.entries(told).filter(([name]) => !["tray", "row", "version", "instrument", "reading"].includes(name)));
      tell("tray:state", { row: told.row, cells, wrong, words: wrong ? `not kept: ${thing.sentences.join(" ")}` : "on this device" });
    }
  };
}

if (table) {
  table.addEventListener("tray:keep", (event) => (row = row.then(() => keep(event.detail))));
  show().catch(() => {});
}
