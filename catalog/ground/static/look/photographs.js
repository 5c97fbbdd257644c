// Photographs that were chosen or taken are shown at once, with their names; the browser alone sends them.

function show(place) {
  const thumbs = place.querySelector("[data-thumbs]");
  for (const old of thumbs.querySelectorAll("img")) URL.revokeObjectURL(old.src);
  const files = [...place.querySelectorAll("input[type=file]")].flatMap((input) => [...input.files]);
  thumbs.replaceChildren(...files.map((file) => thumbOf(file)));
  const voice = document.getElementById("said");
  if (voice) voice.textContent = files.length === 1 ? "One photograph" : `${files.length} photographs`;
}

function thumbOf(file) {
  const frame = document.createElement("figure");
  const picture = document.createElement("img");
  const name = document.createElement("figcaption");
  picture.src = URL.createObjectURL(file);
  picture.alt = "";
  picture.addEventListener("error", () => picture.remove(), { once: true });
  name.className = "small quiet";
  name.textContent = file.name;
  frame.append(picture, name);
  return frame;
}

for (const place of document.querySelectorAll("[data-photographs]")) {
  const camera = place.querySelector("[data-camera-button]");
  camera.hidden = !matchMedia("(pointer: coarse)").matches;
  place.addEventListener("change", () => show(place));
}
