/** Keeping the screen awake, where the browser lets a page do so: on every screen of the floor, and again whenever the page is seen again. */

/** 'held' · 'not_here': this browser or this address does not allow it */
export type Awake = 'held' | 'not_here';

const AGAIN_MS = 10_000;

export function stayAwake(told: (state: Awake) => void): void {
  if (!window.isSecureContext || !('wakeLock' in navigator)) {
    told('not_here');
    return;
  }
  const hold = async (): Promise<void> => {
    if (document.visibilityState !== 'visible') return;
    try {
      const lock = await navigator.wakeLock.request('screen');
      told('held');
      lock.addEventListener('release', lost, { once: true });
    } catch {
      told('not_here');
    }
  };
  /** Given up by the system: behind another window, to be had again when seen; in sight, as with an empty battery, after a while. */
  const lost = (): void => {
    if (document.visibilityState !== 'visible') return;
    told('not_here');
    setTimeout(() => void hold(), AGAIN_MS);
  };
  document.addEventListener('visibilitychange', () => void hold());
  void hold();
}
