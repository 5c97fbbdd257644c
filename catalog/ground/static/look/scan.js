// Scanning: a camera where the browser reads codes itself, else a photograph that the house reads, and always the text field.
// A hand scanner is a keyboard: keys closer than 35 ms that end in Enter are one scan, in a chooser or on no field.
// What was read is told as `undercast:scanned` {text, number} on the field it is for, else on the document.

const KEY_GAP_MS = 35;
const CODES = ["qr_code", "code_128", "data_matrix"];
const NOT_ALLOWED = "The camera is not allowed here. Type the number, or photograph the code.";

function say(words, id = "said") {
  const voice = document.getElementById(id);
  if (voice) voice.textContent = words;
}

// Our own code is an address that ends in /Q/NUMBER, on whatever host it was printed for; a bare number is one too. Nothing is followed.
function numberIn(text) {
  const plain = text.trim();
  const ours = plain.match(/^https?:\/\/[^/]+\/q\/([^/?#]+)\/?$/i);
  if (ours) return decodeURIComponent(ours[1]);
  return /^[\w .,:/-]{1,60}$/.test(plain) && !plain.includes("://") ? plain : "";
}

function scanned(text, field) {
  const number = numberIn(text);
  navigator.vibrate?.(60);
  const event = new CustomEvent("undercast:scanned", { bubbles: true, cancelable: true, detail: { text, number } });
  if (!(field ?? document).dispatchEvent(event)) return;
  if (!number) return say(`This code is not one of ours. It says: ${text}`, "alarm");
  say(`Read ${number}`);
  if (!field) return location.assign(`/q/${encodeURIComponent(number)}/`);
  // a field of several lines gathers what is scanned
  field.value = field.tagName === "TEXTAREA" && field.value.trim() ? `${field.value.trimEnd()}\n${number}` : number;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.focus();
  if ("scanSends" in field.dataset) field.form.requestSubmit();
}

// A hand scanner ------------------------------------------------------------------------------------------------------

let keys = "";
let before = 0;
const takesScans = (at) => at === document.body || at === document.documentElement || !!at.closest?.("[data-chooser], [data-scan-here]");

document.addEventListener("keydown", (event) => {
  if (event.timeStamp - before > KEY_GAP_MS) keys = "";
  before = event.timeStamp;
  if (event.key.length === 1) keys += event.key;
  else if (event.key === "Enter" && keys.length > 3 && takesScans(event.target)) {
    event.preventDefault();
    event.stopImmediatePropagation();
    const field = event.target.closest?.("[data-chooser], [data-scan-here]");
    scanned(keys, field ?? null);
    keys = "";
  }
}, true);

// The camera ----------------------------------------------------------------------------------------------------------

async function readsCodes() {
  if (!("BarcodeDetector" in window) || !navigator.mediaDevices) return null;
  const formats = (await BarcodeDetector.getSupportedFormats()).filter((format) => CODES.includes(format));
  return formats.length ? new BarcodeDetector({ formats }) : null;
}

async function watch(dialog, detector) {
  const video = dialog.querySelector("video");
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  const [track] = stream.getVideoTracks();
  const torch = dialog.querySelector("[data-torch]");
  torch.hidden = !track.getCapabilities?.().torch;
  torch.onclick = () => {
    const on = torch.getAttribute("aria-pressed") !== "true";
    torch.setAttribute("aria-pressed", String(on));
    track.applyConstraints({ advanced: [{ torch: on }] });
  };
  video.srcObject = stream;
  try {
    await video.play();
    while (dialog.open) {
      const [found] = await detector.detect(video);
      if (found) return found.rawValue;
      await new Promise((on) => setTimeout(on, 120));
    }
    return "";
  } finally {
    track.stop();
  }
}

async function withCamera(field, detector) {
  const dialog = document.querySelector("template[data-camera]").content.cloneNode(true).firstElementChild;
  document.body.append(dialog);
  dialog.addEventListener("close", () => dialog.remove());
  dialog.querySelector("[data-close]").addEventListener("click", () => dialog.close());
  dialog.showModal();
  let text = "";
  try {
    text = await watch(dialog, detector);
  } catch {
    say(NOT_ALLOWED, "alarm");
    for (const words of document.querySelectorAll("[data-scan-says]")) words.textContent = NOT_ALLOWED;
  }
  if (dialog.open && text) {
    dialog.querySelector("[data-read]").textContent = numberIn(text) || text;
    await new Promise((on) => setTimeout(on, 700));
  }
  dialog.close();
  if (text) scanned(text, field);
}

// A photograph of the code --------------------------------------------------------------------------------------------

async function readPhotograph(input, field) {
  const [photograph] = input.files;
  if (!photograph) return;
  const body = new FormData();
  body.append("photograph", photograph);
  const cookie = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
  say("Reading the photograph.");
  try {
    const answer = await fetch("/scan/read/", { method: "POST", body, headers: { "X-CSRFToken": cookie?.[1] ?? "", Accept: "application/json" } });
    const { text } = answer.ok ? await answer.json() : {};
    if (text) scanned(text, field);
    else say("No code was found on this photograph. Take it from nearer, or type the number.", "alarm");
  } catch {
    say("There is no signal to read the photograph. Type the number.", "alarm");
  }
  input.value = "";
}

function fieldFor(button) {
  return document.getElementById(button.dataset.scanFor) ?? null;
}

const detector = await readsCodes().catch(() => null);
for (const button of document.querySelectorAll("[data-scan]")) {
  button.hidden = !detector;
  button.addEventListener("click", () => withCamera(fieldFor(button), detector));
}
for (const input of document.querySelectorAll("input[type=file][data-scan-photograph]")) {
  const frame = input.closest("[data-scan-fallback]");
  if (frame) frame.hidden = !!detector && !("always" in frame.dataset);
  input.addEventListener("change", () => readPhotograph(input, fieldFor(input)));
}
