// The page "It broke": a scan names what broke and leads on to the question of the parts.

const what = document.querySelector("input#id_of");

// A scanner that stops for a breath is read whole: what it began with stands in the field already.
function wholeScan(field, { text, number }) {
  const typed = field.value.trim();
  if (!typed.endsWith(text) || typed === text) return number;
  const ours = typed.match(/\/q\/([^/?#]+)\/?$/i);
  return ours ? decodeURIComponent(ours[1]) : typed;
}

function named(read) {
  what.value = read;
  what.dispatchEvent(new Event("input", { bubbles: true }));
  document.getElementById("said").textContent = `Read ${read}`;
  document.querySelector("#id_n_parts input")?.focus();
}

what?.addEventListener("undercast:scanned", (event) => {
  const read = wholeScan(what, event.detail);
  if (!read) return;
  event.preventDefault();
  named(read);
});
// Enter behind a number leads on; it records nothing yet
what?.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.defaultPrevented) return;
  event.preventDefault();
  const typed = what.value.trim();
  if (typed) named(wholeScan(what, { text: "", number: typed }));
});
if (what && !document.getElementById("summary")) what.focus();
