// The service worker, served at /sw.js. It keeps the files of the look, and the few pages that work without signal.
// Nothing else is ever kept: no record, no list, no answer of the API.

const FILES = "undercast-files";
const PAGES = "undercast-pages";
const WORKS_OFFLINE = ["/entries/new/", "/scan/", "/movements/new/", "/lifts/new/", "/examinations/new/", "/breakages/new/", "/outbox/"];
// the inspection of one mount, one tray, the examination of one cast: kept when it was opened with signal, for the walk to where there is none
const OPENED_BEFORE = /^\/(mounts\/[^/]+\/inspect|casts\/[^/]+\/examinations\/new|trays\/[^/]+)\/$/;
const NAMED_BY_CONTENT = /\.[0-9a-f]{12}\.\w+$/;
const MOST_FILES = 120;

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

self.addEventListener("message", (event) => {
  if (event.data === "keep") event.waitUntil(keepPages());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const there = new URL(request.url);
  if (request.method !== "GET" || there.origin !== self.location.origin) return;
  if (there.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(page(request, there.pathname));
});

// Files named by their content are the same for ever; others are asked for first, and kept for the time without signal.
async function file(request) {
  const store = await caches.open(FILES);
  const kept = await store.match(request);
  if (kept && NAMED_BY_CONTENT.test(new URL(request.url).pathname)) return kept;
  try {
    const answer = await fetch(request);
    if (answer.ok && answer.status === 200) await put(store, request, answer.clone());
    return answer;
  } catch (failed) {
    if (kept) return kept;
    throw failed;
  }
}

async function put(store, request, answer) {
  await store.put(request, answer);
  const held = await store.keys();
  for (const old of held.slice(0, Math.max(0, held.length - MOST_FILES))) await store.delete(old);
}

const worksOffline = (path) => WORKS_OFFLINE.includes(path) || OPENED_BEFORE.test(path);

// A page that works offline comes from the net, else as it was kept. For any other, without signal, the outbox says what works.
async function page(request, path) {
  try {
    const answer = await fetch(request);
    if (worksOffline(path) && whole(answer)) await (await caches.open(PAGES)).put(path, answer.clone());
    return answer;
  } catch (failed) {
    const store = await caches.open(PAGES);
    const kept = await store.match(worksOffline(path) ? path : "/outbox/");
    if (kept && worksOffline(path)) return kept;
    if (kept) return Response.redirect("/outbox/?without-signal");
    throw failed;
  }
}

const whole = (answer) => answer.ok && answer.type === "basic" && !answer.redirected;

async function keepPages() {
  const store = await caches.open(PAGES);
  for (const path of WORKS_OFFLINE) {
    try {
      // a redirect is not followed: the sign-in page would get a second form cookie behind the first one's back
      const answer = await fetch(path, { credentials: "same-origin", cache: "no-store", redirect: "manual" });
      if (!whole(answer)) continue;
      await store.put(path, answer.clone());
      await keepFilesOf(await answer.text());
    } catch {
      return;
    }
  }
}

async function keepFilesOf(markup) {
  const store = await caches.open(FILES);
  const addresses = new Set([...markup.matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map((found) => found[1]));
  for (const address of addresses) {
    if (!(await store.match(address))) await store.add(address).catch(() => {});
  }
}
