// What others keep in this tray, and what the chosen balance sends, asked for every two seconds while the page is seen.

const table = document.querySelector("table[data-tray][data-open]");
const balance = document.querySelector("[data-balance]");
const BALANCE = "undercast-balance";
let since = table?.dataset.now;
let after = 0;

const tell = (name, detail) => table.dispatchEvent(new CustomEvent(name, { detail }));

async function ask() {
  if (document.hidden || !navigator.onLine) return;
  const query = new URLSearchParams({ since, after, instrument: balance.value });
  const asked = { headers: { Accept: "application/json" }, redirect: "error", signal: AbortSignal.timeout(5000) };
  const answer = await fetch(`/trays/${table.dataset.tray}/since/?${query}`, asked).catch(() => null);
  if (answer?.status !== 200) return;
  const said = await answer.json();
  since = said.at;
  // also those that were kept here: the sums, and what is doubtful beside what was poured, come this way
  for (const row of said.rows) tell("tray:told", { ...row, sums: said.sums, next: said.next });
  for (const reading of said.readings) {
    after = reading.cursor;
    tell("tray:reading", { ...reading, instrument: balance.value });
  }
}

async function goOn() {
  await ask();
  setTimeout(goOn, 2000);
}

if (table) {
  const known = [...balance.options].map((one) => one.value);
  const last = localStorage.getItem(BALANCE) ?? "";
  balance.value = known.includes(last) ? last : "";
  balance.addEventListener("change", () => localStorage.setItem(BALANCE, balance.value));
  document.addEventListener("undercast:outbox", ask);
  goOn();
}
