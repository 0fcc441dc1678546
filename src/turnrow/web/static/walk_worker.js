// Serves the walk's pages where there is no signal: the newest if the book answers soon, else the kept one.

const NAME = "turnrow-walk-1";
const SOON_MS = 4_000;
const AT_ONCE = 6; // pages fetched side by side, so that two hundred rows are kept before the walker is off
const PARTS = [
  "/static/page.css", "/static/walk.css", "/static/mark.svg",
  "/static/walk.js", "/static/walk_dom.js", "/static/walk_end.js", "/static/walk_numbers.js", "/static/walk_rows.js",
  "/static/walk_send.js", "/static/walk_station.js",
  "/static/walk_start.js", "/static/walk_store.js",
  "/static/fonts/atkinson-hyperlegible-latin-400-normal.woff2",
  "/static/fonts/atkinson-hyperlegible-latin-700-normal.woff2",
  "/static/fonts/source-serif-4-latin-400-normal.woff2",
  "/static/fonts/source-serif-4-latin-600-normal.woff2",
];

addEventListener("install", event => {
  skipWaiting();
  event.waitUntil(caches.open(NAME).then(kept => kept.addAll(PARTS)));
});

addEventListener("activate", event => {
  const old = caches.keys().then(names => Promise.all(names.filter(one => one !== NAME).map(one => caches.delete(one))));
  event.waitUntil(old.then(() => clients.claim()));
});

addEventListener("message", event => {
  const [answer] = event.ports;
  event.waitUntil(keep(event.data.keep).then(kept => answer.postMessage({ kept })));
});

/** How many of the pages are on the phone now; with them all their parts, so that these are of one age. */
async function keep(addresses) {
  await Promise.all(PARTS.map(one => newest(one).catch(() => null)));
  let kept = 0;
  const left = [...addresses];
  const some = async () => {
    for (let one = left.shift(); one; one = left.shift()) {
      const got = await newest(one).catch(() => null);
      if (got?.ok || await caches.match(one)) kept += 1;
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, some));
  return kept;
}

addEventListener("fetch", event => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  const ours = pathname === "/walk" || pathname.startsWith("/walk/") || PARTS.includes(pathname);
  if (request.method === "GET" && origin === location.origin && ours) event.respondWith(found(request));
});

async function found(request) {
  const kept = await caches.match(request);
  const asked = newest(request, kept ? SOON_MS : 60_000);
  if (!kept) return asked;
  try {
    const got = await asked;
    return got.status < 500 ? got : kept;
  } catch {
    return kept;
  }
}

async function newest(request, within = 60_000) {
  const got = await fetch(request, { signal: AbortSignal.timeout(within) });
  if (got.ok) await (await caches.open(NAME)).put(request, got.clone());
  return got;
}
