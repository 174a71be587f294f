/** Opening without the network: only where the browser calls the page's address secure. */

/** 'kept': the page opens without the network · 'not_here': the address is plain http, it does not · 'not_yet' */
export type Offline = 'kept' | 'not_here' | 'not_yet';

export async function keepPage(): Promise<Offline> {
  if (!window.isSecureContext || !('serviceWorker' in navigator)) return 'not_here';
  try {
    await navigator.serviceWorker.register('/floor/worker.js', { scope: '/floor' });
    const [ready] = await Promise.all([navigator.serviceWorker.ready, loaded()]);
    // entries and plans are not to be cleared when the tablet runs short of room
    void navigator.storage?.persist?.();
    return ready.active && (await keptBy(ready.active)) ? 'kept' : 'not_yet';
  } catch {
    return 'not_yet';
  }
}

function loaded(): Promise<void> {
  return new Promise((done) => (document.readyState === 'complete' ? done() : addEventListener('load', () => done(), { once: true })));
}

/** The worker keeps the page with its files; true when it has one. */
function keptBy(worker: ServiceWorker): Promise<boolean> {
  return new Promise((done) => {
    const line = new MessageChannel();
    line.port1.onmessage = (event) => done(event.data === true);
    worker.postMessage('keep', [line.port2]);
  });
}
