// The page that moves things (form[data-moves]): what is to be minded is shown as soon as the thing or the place is named,
// and a scan leads on: from the thing to the place, from the place to the act. Into one place, each scan is one movement.

const form = document.querySelector("form[data-moves]");
const what = form.elements.what;
const to = form.elements.to;
const scanning = "scanning" in form.elements;
const named = (field) => {
  const chosen = form.elements[`${field.name}_value`];
  return chosen?.value && form.elements[`${field.name}_was`].value === field.value ? chosen.value : field.value.trim();
};

let asked = "";

async function tell() {
  const query = new URLSearchParams({ of: named(what), to: named(to) });
  if (!named(what) || String(query) === asked) return;
  asked = String(query);
  try {
    const answer = await fetch(`/movements/new/?${query}`, { headers: { Accept: "text/html" } });
    if (!answer.ok || answer.redirected || String(query) !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    document.getElementById("about").replaceChildren(...page.getElementById("about").childNodes);
  } catch {
    asked = ""; // without signal the act itself says what stands in its way, when it is sent
  }
}

// A scanner that stops for a breath is read whole: what it began with stands in the field already.
function wholeScan(field, { text, number }) {
  const typed = field.value.trim();
  if (!typed.endsWith(text) || typed === text) return number;
  const ours = typed.match(/\/q\/([^/?#]+)\/?$/i);
  return ours ? decodeURIComponent(ours[1]) : typed;
}

function goOn(field) {
  tell();
  const empty = [what, to].find((one) => !one.value.trim());
  if (empty) empty.focus();
  else if (scanning && field === what) form.requestSubmit();
  else form.querySelector("#acts button").focus();
}

function onScan(event) {
  const field = event.target;
  const read = wholeScan(field, event.detail);
  if (!read) return;
  event.preventDefault();
  field.value = read;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  document.getElementById("said").textContent = `Read ${field.value}`;
  goOn(field);
}

function onEnter(event) {
  if (event.key !== "Enter" || event.defaultPrevented || !event.target.value.trim()) return;
  event.preventDefault();
  goOn(event.target);
}

// a photographed code is for what is not named yet
for (const input of form.querySelectorAll("[data-scan-next]")) {
  input.addEventListener("click", () => (input.dataset.scanFor = (what.value.trim() ? to : what).id));
}
for (const field of [what, to]) {
  field.addEventListener("focus", () => field.select());
  field.addEventListener("keydown", onEnter);
  field.addEventListener("undercast:scanned", onScan);
  field.addEventListener("undercast:chosen", tell);
  field.addEventListener("change", tell);
}
if (!document.getElementById("summary")) [what, to].find((one) => !one.value.trim())?.focus();
