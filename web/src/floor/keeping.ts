/** What the tablet keeps of its own: plans, entries, ticks. Everything is written at once, so that a dead battery takes nothing along. */

export interface Keeping {
  read<T>(name: string): T | undefined;
  /** False where the browser has no room or keeps nothing. */
  write(name: string, value: unknown): boolean;
  drop(name: string): void;
  names(start: string): string[];
}

const OURS = 'bendwright.floor.';
export const PLAN = 'plan.';

/** Keeping in the browser's own store for this address. */
export function keepingIn(store: Storage | undefined): Keeping {
  return {
    read<T>(name: string): T | undefined {
      try {
        const text = store?.getItem(OURS + name) ?? null;
        return text === null ? undefined : (JSON.parse(text) as T);
      } catch {
        return undefined;
      }
    },
    write(name, value) {
      try {
        if (!store) return false;
        store.setItem(OURS + name, JSON.stringify(value));
        return true;
      } catch {
        return false;
      }
    },
    drop(name) {
      try {
        store?.removeItem(OURS + name);
      } catch {
        // nothing was kept, nothing is to be dropped
      }
    },
    names(start) {
      try {
        return Object.keys(store ?? {}).filter((name) => name.startsWith(OURS + start)).map((name) => name.slice(OURS.length));
      } catch {
        return [];
      }
    },
  };
}

/** Keep something small that must not be lost; where there is no room, plans make way, the oldest first. */
export function writeSurely(keeping: Keeping, name: string, value: unknown): boolean {
  if (keeping.write(name, value)) return true;
  for (const plan of byAge(keeping, PLAN)) {
    keeping.drop(plan);
    if (keeping.write(name, value)) return true;
  }
  return false;
}

interface Dated {
  at: number;
}

/** Keep something large (a plan); where there is no room the oldest of its kind make way, entries never. */
export function writeLarge<T extends Dated>(keeping: Keeping, kind: string, name: string, value: T, most: number): boolean {
  const others = byAge(keeping, kind).filter((one) => one !== kind + name);
  while (others.length >= most) keeping.drop(others.shift() ?? '');
  while (!keeping.write(kind + name, value)) {
    const oldest = others.shift();
    if (!oldest) return false;
    keeping.drop(oldest);
  }
  return true;
}

/** Names of a kind, the oldest first. */
function byAge(keeping: Keeping, kind: string): string[] {
  const dated = keeping.names(kind).map((one) => ({ one, at: keeping.read<Dated>(one)?.at ?? 0 }));
  return dated.sort((a, b) => a.at - b.at).map(({ one }) => one);
}
