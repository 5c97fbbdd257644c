// What waits on this phone: the list at /outbox/, and a kept thing opened again in its form (/entries/new/?kept=3).

const who = document.documentElement.dataset.who ?? "";

function open() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("undercast-outbox", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("kept", { keyPath: "id", autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

async function kept(mode, deed) {
  const base = await open();
  return new Promise((done, failed) => {
    const work = base.transaction("kept", mode);
    const answer = deed(work.objectStore("kept"));
    work.oncomplete = () => (base.close(), done(answer.result));
    work.onerror = () => (base.close(), failed(work.error));
  });
}

const WORDS = { waiting: "waits for signal", refused: "not taken", aside: "put aside", sent: "sent" };
const LOOKS = { waiting: "gone", refused: "harm", aside: "pen", sent: "" };

const hour = (at) => new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" }).format(new Date(at));

function rowOf(thing, template) {
  const row = template.content.cloneNode(true);
  const at = (name) => row.querySelector(`[data-${name}]`);
  const photographs = thing.fields.filter(([, value]) => value instanceof File).length;
  at("word").textContent = WORDS[thing.state];
  at("word").className = `word ${LOOKS[thing.state]}`;
  at("title").textContent = thing.title;
  at("when").textContent = `kept ${hour(thing.made_at)}${photographs ? `, with ${photographs} ${photographs === 1 ? "file" : "files"}` : ""}`;
  at("number").textContent = thing.number ? `It is now ${thing.number}.` : thing.state === "sent" ? "" : "Its number follows when it is sent.";
  at("why").textContent = thing.who === who ? thing.sentences.join(" ") : "Somebody else kept it here. It is sent when they sign in on this phone.";
  const mine = thing.who === who && thing.state !== "sent";
  at("send").hidden = !mine || thing.state === "waiting";
  at("open").hidden = !mine;
  at("open").href = `${thing.page}?kept=${thing.id}`;
  at("aside").hidden = !mine || thing.state === "aside";
  at("forget").hidden = !(mine && thing.state === "aside");
  const turn = (state) => async () => {
    await kept("readwrite", (store) => store.put({ ...thing, state }));
    document.dispatchEvent(new CustomEvent("undercast:send"));
  };
  at("send").addEventListener("click", turn("waiting"));
  at("aside").addEventListener("click", turn("aside"));
  at("forget").addEventListener("click", async () => {
    await kept("readwrite", (store) => store.delete(thing.id));
    document.dispatchEvent(new CustomEvent("undercast:send"));
  });
  return row;
}

async function list() {
  const place = document.querySelector("[data-outbox-list]");
  if (!place) return;
  const template = document.querySelector("template[data-outbox-row]");
  const things = await kept("readonly", (store) => store.getAll());
  const waiting = things.filter((thing) => thing.state !== "sent").length;
  place.replaceChildren(...things.map((thing) => rowOf(thing, template)));
  for (const part of document.querySelectorAll("[data-outbox-some]")) part.hidden = !waiting;
  for (const part of document.querySelectorAll("[data-outbox-none]")) part.hidden = waiting > 0;
  const number = ["", "One thing waits", "Two things wait", "Three things wait"][waiting] ?? `${waiting} things wait`;
  for (const part of document.querySelectorAll("[data-outbox-say]")) part.textContent = `${number} on this phone.`;
}

async function reopen() {
  const id = Number(new URLSearchParams(location.search).get("kept"));
  const form = document.querySelector("form[data-outbox]");
  if (!id || !form) return;
  const thing = await kept("readonly", (store) => store.get(id));
  if (!thing || thing.who !== who || thing.state === "sent") return;
  form.dataset.kept = String(id);
  for (const field of form.elements) {
    const values = thing.fields.filter(([name, value]) => name === field.name && typeof value === "string").map(([, value]) => value);
    if (!values.length || field.type === "file") continue;
    if (field.type === "radio" || field.type === "checkbox") field.checked = values.includes(field.value);
    else field.value = values[0];
  }
  for (const box of form.querySelectorAll("details")) box.open = true;
  const voice = document.getElementById("said");
  if (voice) voice.textContent = [...thing.sentences, "Its photographs stay with it."].join(" ");
}

if ("indexedDB" in window) {
  document.addEventListener("undercast:outbox", list);
  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-send-now]")) document.dispatchEvent(new CustomEvent("undercast:send"));
  });
  await reopen();
  await list();
}
