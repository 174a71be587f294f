/** Opening without the network: only where the browser calls the page's address secure. */

/** 'kept': the page opens without the network · 'not_here': the address is plain http, it does not · 'not_yet' */
export type Offline = 'kept' | 'not_here' | 'not_yet';

export async function keepPage(): Promise<Offline> {
  if (!window.isSecureContext || !('serviceWorker' in navigator)) return 'not_here';
  try {
    await navigator.serviceWorker.register('/floor/worker.js', { scope: '/floor' });
    const ready = await navigator.serviceWorker.ready;
    const used = performance.getEntriesByType('resource').map((entry) => new URL(entry.name).pathname);
    ready.active?.postMessage({ keep: [...new Set(used.filter((path) => path.startsWith('/assets/')))] });
    return 'kept';
  } catch {
    return 'not_yet';
  }
}
