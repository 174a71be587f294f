/** A form of the shop as it is typed, kept until the window closes: a reload or a look elsewhere loses nothing. */
import type { Typed } from './record';

const PLACE = 'bendwright.form.';

/** Which form: a record of a shop, or a new one. */
export const nameOf = (shop: string, kind: string, id: string): string => `${shop}/${kind}/${id}`;

/** What was typed into a form that began as `begun`; null where nothing was, or where the record has been changed since. */
export function readTyped(name: string, begun: Typed, store: Storage = sessionStorage): Typed | null {
  try {
    const kept = JSON.parse(store.getItem(PLACE + name) ?? 'null') as { begun: unknown; typed: Typed } | null;
    return kept && JSON.stringify(kept.begun) === JSON.stringify(begun) ? kept.typed : null;
  } catch {
    return null;
  }
}

/** Keep what is typed; as it began there is nothing to keep. */
export function keepTyped(name: string, begun: Typed, typed: Typed, store: Storage = sessionStorage): void {
  try {
    if (JSON.stringify(begun) === JSON.stringify(typed)) store.removeItem(PLACE + name);
    else store.setItem(PLACE + name, JSON.stringify({ begun, typed }));
  } catch {
    // then it lasts as long as the form is open
  }
}

export function forgetTyped(name: string, store: Storage = sessionStorage): void {
  try {
    store.removeItem(PLACE + name);
  } catch {
    // nothing was kept
  }
}
