// Lets the floor open without the network, where the browser allows it (https, or localhost). The page fills the store; this only answers from it.
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
  if (Array.isArray(event.data?.keep)) event.waitUntil(keep(event.data.keep).catch(() => undefined).then(() => tell(event.ports[0])));
});

/** Says whether there is a page to open without the network, this one or one kept before. */
async function tell(line) {
  line?.postMessage((await caches.match('/floor')) !== undefined);
}

async function keep(addresses) {
  const store = await caches.open(STORE);
  await store.addAll(['/floor', ...addresses]);
  for (const kept of await store.keys()) {
    const { pathname } = new URL(kept.url);
    if (pathname !== '/floor' && !addresses.includes(pathname)) await store.delete(kept);
  }
}
