// What every page has: one press writes once, page keys, focus after an act, light for those who asked for it.
// Everything here only makes quicker what works without script.

const $ = (what, from = document) => from.querySelector(what);

// One press writes once: the button says so, a second press does nothing. The form's key guards the rest.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.busy) return event.preventDefault();
  const button = event.submitter ?? $("button[type=submit]", form);
  setTimeout(() => {
    if (event.defaultPrevented) return;
    form.dataset.busy = "yes";
    if (!button) return;
    const words = $("span", button) ?? button;
    button.dataset.words = words.textContent;
    words.textContent = "Writing…";
    button.setAttribute("aria-busy", "true");
  });
});

// Back by the browser's button: the page as it was left, and its button says its word again.
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  for (const form of document.querySelectorAll("form[data-busy]")) delete form.dataset.busy;
  for (const button of document.querySelectorAll("[aria-busy=true]")) {
    button.removeAttribute("aria-busy");
    if (button.dataset.words) ($("span", button) ?? button).textContent = button.dataset.words;
  }
});

// A closed act keeps its place and its sentence; it does nothing.
document.addEventListener("click", (event) => {
  if (event.target.closest("[aria-disabled=true]")) event.preventDefault();
  if (event.target.closest("[data-back]") && history.length > 1) {
    event.preventDefault();
    history.back();
  }
});

// After an act the eye is where it matters: the summary of what is wrong, else the sentence of the standing.
function focusAfterAct() {
  const summary = $("#summary");
  const say = $("[data-after-act]") && $("#standing .say");
  (summary ?? say)?.focus();
}
focusAfterAct();

// Page keys. They can be switched off, sleep while a field has the focus, and are not taken from a hand scanner.
const OFF = "undercast.keys-off";
const typing = (at) => at.closest?.("input, textarea, select, [contenteditable], [role=grid], dialog");
let last = { key: "", at: 0 };

function pageKey(key, before) {
  if (key === "/") return () => $("#q")?.checkVisibility() ? $("#q").focus() : location.assign("/find/");
  if (key === "t" && before === "g") return () => location.assign("/today/");
  if (key === "?") return showKeys;
  return null;
}

function showKeys() {
  const list = $("#keys");
  if (!list) return;
  list.open = true;
  $("summary", list).focus();
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
  const gap = event.timeStamp - last.at;
  const before = gap > 35 && gap < 1500 ? last.key : "";
  const quick = gap < 35;
  last = { key: event.key, at: event.timeStamp };
  if (quick || typing(event.target) || localStorage.getItem(OFF) || "keysOff" in document.documentElement.dataset) return;
  const act = pageKey(event.key, before);
  if (!act) return;
  event.preventDefault();
  act();
});

function offerKeys() {
  const list = $("[data-keys]");
  if (!list) return;
  const on = $("[data-keys-on]", list);
  const show = () => {
    for (const key of document.querySelectorAll("[data-key]")) key.hidden = !on.checked;
  };
  on.checked = !localStorage.getItem(OFF);
  on.addEventListener("change", () => {
    if (on.checked) localStorage.removeItem(OFF);
    else localStorage.setItem(OFF, "yes");
    show();
  });
  list.hidden = false;
  show();
}
offerKeys();

// The choice of light on /me/ is seen at once; its form keeps it.
for (const choice of document.querySelectorAll("[data-light-choice]")) {
  choice.addEventListener("change", () => document.documentElement.toggleAttribute("data-light", choice.checked));
}

// Where I stand: the browser's position into a field of coordinates, with its accuracy.
for (const button of document.querySelectorAll("[data-where-i-stand]")) {
  const field = document.getElementById(button.dataset.whereIStand);
  button.hidden = !("geolocation" in navigator && field);
  button.addEventListener("click", () => {
    const refused = () => say("This device does not say where it is. Type the place as you read it.");
    navigator.geolocation.getCurrentPosition(({ coords }) => {
      field.value = `${coords.latitude.toFixed(6)} ${coords.longitude.toFixed(6)}`;
      const within = field.form?.elements.within_m;
      if (within && !within.value) within.value = Math.ceil(coords.accuracy);
      field.dispatchEvent(new Event("input", { bubbles: true }));
      say(`Within ${Math.ceil(coords.accuracy)} metres.`);
    }, refused, { enableHighAccuracy: true, timeout: 20000 });
  });
}

function say(words) {
  const voice = $("#said");
  if (voice) voice.textContent = words;
}
