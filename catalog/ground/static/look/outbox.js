// The outbox: a form marked data-outbox is kept on this device when there is no signal, photographs and all, and sent
// to its data-api once and in order when there is. Each thing bears its own key, so that it is never written twice.
// States of a kept thing: waiting, refused (with the sentences), aside, sent (its number is remembered for 14 days).

const who = document.documentElement.dataset.who ?? "";
const LEFT_OUT = new Set(["csrfmiddlewaretoken", "key", "version"]);

function say(id, words) {
  const voice = document.getElementById(id);
  if (voice) voice.textContent = words;
}

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
    work.onerror = work.onabort = () => (base.close(), failed(work.error));
  });
}

const all = () => kept("readonly", (store) => store.getAll());
const put = (thing) => kept("readwrite", (store) => store.put(thing));
const drop = (id) => kept("readwrite", (store) => store.delete(id));

// Whether the house can be reached and knows who we are is asked of the house itself: the answer is a fresh token, else null.
async function token() {
  if (!navigator.onLine) return null;
  try {
    const answer = await fetch("/me/csrf/", { signal: AbortSignal.timeout(5000), cache: "no-store", headers: { Accept: "application/json" } });
    return answer.ok && !answer.redirected ? (await answer.json()).token : null;
  } catch {
    return null;
  }
}

// Keeping -------------------------------------------------------------------------------------------------------------

const freshKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

// A page from this device's own store brings an old key along: one that was used already is not used for another thing.
async function renewKey(form) {
  const [way] = performance.getEntriesByType("navigation");
  if (way?.type === "back_forward" || !form.elements.key || "bound" in form.dataset) return;
  const used = (await all()).some((thing) => thing.key === form.elements.key.value);
  if (used || !navigator.onLine) form.elements.key.value = freshKey();
}

// What is sent: what was answered, a chosen thing by its own name (the hidden pair of a chooser), no empty fields.
function answered(form, button) {
  const fields = [];
  for (const [name, value] of new FormData(form, button)) {
    const field = form.elements[name];
    if (LEFT_OUT.has(name) || field?.dataset?.companion || (value instanceof File ? !value.size : !value.trim())) continue;
    const chosen = form.elements[`${name}_value`];
    const stands = chosen?.value && form.elements[`${name}_was`]?.value === value;
    fields.push([name, stands ? chosen.value : value]);
  }
  return fields;
}

async function keep(form, button) {
  const before = (await all()).find((thing) => thing.id === Number(form.dataset.kept));
  const fields = [...answered(form, button), ...(before?.fields.filter(([, value]) => value instanceof File) ?? [])];
  const words = fields.find(([name, value]) => typeof value === "string" && form.elements[name]?.type !== "radio");
  await put({
    ...(before ? { id: before.id } : {}),
    key: before?.key ?? form.elements.key?.value ?? freshKey(),
    who, fields, state: "waiting", sentences: [],
    api: form.dataset.api,
    page: location.pathname,
    made_at: before?.made_at ?? new Date().toISOString(),
    title: words?.[1] ?? document.querySelector("h1")?.textContent.trim() ?? document.title,
  });
  navigator.storage?.persist?.();
  form.dispatchEvent(new CustomEvent("undercast:kept", { bubbles: true }));
  location.assign("/outbox/");
}

async function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-outbox]")) return;
  if (form.dataset.reached) return void delete form.dataset.reached;
  event.preventDefault();
  if (form.dataset.asking) return;
  form.dataset.asking = "yes";
  const button = event.submitter;
  button?.setAttribute("aria-busy", "true");
  const fresh = form.dataset.kept ? null : await token();
  delete form.dataset.asking;
  button?.removeAttribute("aria-busy");
  if (fresh === null) return keep(form, button).catch(() => say("alarm", "This phone has no room to keep it. Nothing is lost while this page stays open."));
  if (form.elements.csrfmiddlewaretoken) form.elements.csrfmiddlewaretoken.value = fresh;
  form.dataset.reached = "yes";
  form.requestSubmit(button ?? undefined);
}

// Sending -------------------------------------------------------------------------------------------------------------

async function send(thing, csrf) {
  const body = new FormData();
  for (const [name, value] of thing.fields) body.append(name, value);
  body.append("made_at", thing.made_at);
  const headers = { "Idempotency-Key": thing.key, "X-CSRFToken": csrf, Accept: "application/json" };
  const answer = await fetch(thing.api, { method: "POST", body, headers, redirect: "error" });
  const said = await answer.json().catch(() => ({}));
  if (answer.ok) return put({ ...thing, state: "sent", fields: [], number: said.number ?? "", sent_at: new Date().toISOString() });
  const later = [401, 408, 429].includes(answer.status) || answer.status >= 500 || answer.headers.has("Retry-After");
  if (later) throw new Error(`asked to wait: ${answer.status}`);
  const sentences = [said.detail, ...(said.errors ?? []).map((error) => error.detail)].filter(Boolean);
  return put({ ...thing, state: "refused", sentences: [...new Set(sentences.length ? sentences : ["It was not taken, and no reason was given."])] });
}

// In order and one at a time; what finds no signal, a busy house or nobody signed in stops the row and waits.
async function sendAll() {
  const mine = (await all()).filter((thing) => thing.state === "waiting" && thing.who === who);
  const csrf = who && mine.length ? await token() : null;
  if (!csrf) return;
  for (const thing of mine) await send(thing, csrf);
  say("said", "What waited on this phone is sent.");
}

async function goOn() {
  await navigator.locks?.request("undercast-outbox", { ifAvailable: true }, (lock) => lock && sendAll().catch(() => {}));
  const limit = new Date(Date.now() - 14 * 86_400_000).toISOString();
  for (const thing of await all()) if (thing.state === "sent" && thing.sent_at < limit) await drop(thing.id);
  await count();
}

async function count() {
  const things = await all();
  const n = things.filter((thing) => thing.state === "waiting" || thing.state === "refused").length;
  for (const link of document.querySelectorAll("[data-outbox-link]")) link.hidden = !n;
  for (const place of document.querySelectorAll("[data-outbox-count]")) place.textContent = String(n);
  document.dispatchEvent(new CustomEvent("undercast:outbox"));
}

if ("indexedDB" in window) {
  document.addEventListener("submit", onSubmit);
  document.addEventListener("undercast:send", goOn);
  window.addEventListener("online", goOn);
  for (const form of document.querySelectorAll("form[data-outbox]")) await renewKey(form);
  await goOn();
  setInterval(goOn, 60_000);
}
