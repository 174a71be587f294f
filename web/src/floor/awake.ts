/** Keeping the screen awake, where the browser lets a page do so. */

/** 'held' · 'not_here': this browser or this address does not allow it */
export type Awake = 'held' | 'not_here';

export function stayAwake(told: (state: Awake) => void): () => void {
  if (!window.isSecureContext || !('wakeLock' in navigator)) {
    told('not_here');
    return () => {};
  }
  let lock: WakeLockSentinel | undefined;
  const hold = async (): Promise<void> => {
    if (document.visibilityState !== 'visible') return;
    try {
      lock = await navigator.wakeLock.request('screen');
      told('held');
    } catch {
      told('not_here');
    }
  };
  const seen = (): void => void hold();
  document.addEventListener('visibilitychange', seen);
  seen();
  return () => {
    document.removeEventListener('visibilitychange', seen);
    void lock?.release();
  };
}
