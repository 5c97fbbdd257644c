// Signal: says when there is none, registers the service worker that keeps the pages which work without it,
// and empties what this device keeps when somebody signs out or asks for it.

const who = document.documentElement.dataset.who ?? "";
const PAGES = "undercast-pages";
const HOUR_MS = 3_600_000;

function show() {
  const works = document.querySelector("form[data-outbox], [data-works-offline]");
  for (const note of document.querySelectorAll("[data-no-signal]")) {
    note.hidden = navigator.onLine;
    note.querySelector("[data-no-signal-works]").hidden = !works;
    note.querySelector("[data-no-signal-waits]").hidden = !!works;
  }
  for (const words of document.querySelectorAll("form[data-outbox] button[type=submit] span")) {
    words.dataset.words ??= words.textContent;
    words.textContent = navigator.onLine ? words.dataset.words : "Keep on this phone";
  }
}

async function keepPages() {
  if (!navigator.serviceWorker || !who) return;
  await navigator.serviceWorker.register("/sw.js");
  const ready = await navigator.serviceWorker.ready;
  const [whose, last] = (localStorage.getItem("undercast.pages-kept") ?? "").split("|");
  if (whose === who && Date.now() - Number(last) < HOUR_MS && (await caches.has(PAGES))) return;
  if (whose !== who) await emptyPages();
  localStorage.setItem("undercast.pages-kept", `${who}|${Date.now()}`);
  ready.active.postMessage("keep");
}

// The pages bear the name of who was signed in; drafts and the outbox are theirs and wait for them.
async function emptyPages() {
  localStorage.removeItem("undercast.pages-kept");
  await window.caches?.delete(PAGES);
}

async function emptyDevice() {
  await emptyPages();
  for (const base of ["undercast-pencil", "undercast-outbox"]) indexedDB.deleteDatabase(base);
  const voice = document.getElementById("said");
  if (voice) voice.textContent = "This device keeps nothing of the collection now.";
}

document.addEventListener("submit", (event) => event.target.matches("[data-signs-out]") && emptyPages());
document.addEventListener("click", (event) => event.target.closest("[data-empties-device]") && emptyDevice());
window.addEventListener("online", show);
window.addEventListener("offline", () => {
  show();
  const voice = document.getElementById("alarm");
  if (voice) voice.textContent = "No signal.";
});

show();
keepPages().catch(() => {});
