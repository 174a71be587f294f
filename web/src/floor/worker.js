// Lets the floor open without the network, where the browser allows it (https, or localhost): keeps the page with all its files.
const STORE = 'bendwright-floor-1';

self.addEventListener('install', () => self.skipWaiting());
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== self.location.origin) return;
  if (request.mode === 'navigate' && pathname.startsWith('/floor')) event.respondWith(page(request));
  else if (pathname.startsWith('/assets/')) event.respondWith(asset(request));
});

/** The page from the bench, else the one kept; a bench that hangs is not waited for long. */
async function page(request) {
  const late = new AbortController();
  const timer = setTimeout(() => late.abort(), 4000);
  try {
    const answer = await fetch(request.url, { signal: late.signal, credentials: 'same-origin', headers: { Accept: 'text/html' } });
    // whole, before anything of it is handed on: a network that ends half way must not end the page
    if (answer.ok) return new Response(await answer.blob(), { headers: answer.headers });
  } catch {
    // no network: below
  } finally {
    clearTimeout(timer);
  }
  return (await caches.match('/floor')) ?? Response.error();
}

/** Assets carry their content in their names: the one kept is the right one. */
async function asset(request) {
  return (await caches.match(request)) ?? fetch(request);
}

self.addEventListener('message', (event) => {
  if (event.data === 'keep') event.waitUntil(keep().catch(() => undefined).then(() => tell(event.ports[0])));
});

/** Says whether there is a page to open without the network, this one or one kept before. */
async function tell(line) {
  line?.postMessage((await caches.match('/floor')) !== undefined);
}

/** The page as it is now, what it names and what its styles name (letters); only when all of it is here, what is older is let go. */
async function keep() {
  const store = await caches.open(STORE);
  const fresh = await fetch('/floor', { credentials: 'same-origin', cache: 'no-cache' });
  if (!fresh.ok) return;
  const named = assetsIn(await fresh.clone().text());
  const styles = await Promise.all(named.filter((name) => name.endsWith('.css')).map(async (name) => (await fetch(name)).text()));
  const files = [...new Set([...named, ...styles.flatMap(assetsIn)])];
  const missing = [];
  for (const name of files) if (!(await store.match(name))) missing.push(name);
  await store.addAll(missing);
  await store.put('/floor', fresh);
  for (const kept of await store.keys()) {
    const { pathname } = new URL(kept.url);
    if (pathname !== '/floor' && !files.includes(pathname)) await store.delete(kept);
  }
}

function assetsIn(text) {
  return text.match(/\/assets\/[\w./-]+/g) ?? [];
}
