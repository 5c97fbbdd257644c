// Tries an operation of the API from its page. The token stays in the page: it is kept nowhere, and sent to this house only.

const form = document.querySelector("form[data-try]");
const said = form.querySelector("[data-said]");
const came = form.querySelector("[data-came]");

const freshKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

function show(words, text = "") {
  said.textContent = words;
  came.hidden = !text;
  came.textContent = text;
}

function pretty(text) {
  try {
    return JSON.stringify(JSON.parse(text), null, 2);
  } catch {
    return text.slice(0, 20_000);
  }
}

async function ask(event) {
  event.preventDefault();
  const { token, method, address, match, body } = form.elements;
  const there = new URL(address.value, location.href);
  if (there.origin !== location.origin || !there.pathname.startsWith("/api/v1/")) return show("Write an address that begins with /api/v1/.");
  const headers = { Accept: "application/json" };
  if (token.value.trim()) headers.Authorization = `Bearer ${token.value.trim()}`;
  if (match.value.trim()) headers["If-Match"] = match.value.trim();
  const sends = method.value === "POST" || method.value === "PATCH";
  if (method.value === "POST") headers["Idempotency-Key"] = freshKey();
  if (sends) headers["Content-Type"] = "application/json";
  const credentials = headers.Authorization ? "omit" : "same-origin";
  try {
    const answer = await fetch(there, { method: method.value, headers, credentials, body: sends ? body.value : undefined });
    const tag = answer.headers.get("ETag");
    show(`${answer.status} ${answer.statusText}${tag ? `, ETag ${tag}` : ""}`, pretty(await answer.text()));
  } catch {
    show("There is no signal, or the house did not answer.");
  }
}

function take(button) {
  const { method, address, body } = form.elements;
  [method.value, address.value, body.value] = [button.dataset.method, button.dataset.address, button.dataset.body];
  address.focus();
  form.scrollIntoView({ block: "nearest" });
}

function openNamed() {
  const named = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (named?.matches("details")) named.open = true;
}

form.hidden = false;
form.addEventListener("submit", ask);
for (const place of document.querySelectorAll("[data-try-here]")) place.hidden = false;
document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-try-with]");
  if (button) take(button);
});
window.addEventListener("hashchange", openNamed);
openNamed();
