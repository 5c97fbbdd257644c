// On a phone an inspection shows one support at a time; on a wide screen, and without script, all of them.
// What is wrong is shown at once, whichever support it is at. Nothing is chosen by this.

const box = document.querySelector("[data-one-by-one]");
const steps = [...box.querySelectorAll("[data-step]")];
const acts = box.querySelector("[data-step-acts]");
const [back, next] = [box.querySelector("[data-step-back]"), box.querySelector("[data-step-next]")];
const submit = document.querySelector("#acts");
const narrow = matchMedia("(max-width: 640px)");
let now = Math.max(0, steps.findIndex((step) => "wrong" in step.dataset));

function show(focus) {
  const one = narrow.matches;
  steps.forEach((step, n) => (step.hidden = one && n !== now));
  acts.hidden = !one;
  back.hidden = now === 0;
  next.hidden = now === steps.length - 1;
  submit.hidden = one && now < steps.length - 1;
  if (focus && one) steps[now].querySelector("legend").focus();
}

back.addEventListener("click", () => { now -= 1; show(true); });
next.addEventListener("click", () => { now += 1; show(true); });
narrow.addEventListener("change", () => show(false));
// a link of the summary leads to its field, on whichever support that is
document.addEventListener("click", (event) => {
  const to = event.target.closest?.("a[href^='#']")?.hash.slice(1);
  const step = to ? steps.findIndex((one) => one.contains(document.getElementById(to))) : -1;
  if (step >= 0) { now = step; show(false); }
});
show(false);
