/** An order of strokes under the hands of a person, and what a person settles for the search. */

/** The same list with the entry at `from` moved to `to`. */
export function moved<T>(list: readonly T[], from: number, to: number): T[] {
  const out = [...list];
  const [one] = out.splice(from, 1);
  if (one === undefined) return [...list];
  out.splice(Math.max(0, Math.min(to, out.length)), 0, one);
  return out;
}

/** Pins that hold a whole order: each stroke before the next (`b1+b2` is one stroke). */
export function pinsOfOrder(order: readonly string[]): string[] {
  const pins: string[] = [];
  for (let i = 0; i + 1 < order.length; i += 1) {
    for (const first of (order[i] ?? '').split('+')) for (const then of (order[i + 1] ?? '').split('+')) pins.push(`${first}<${then}`);
  }
  return pins;
}

export interface Pin {
  kind: 'before' | 'gauge' | 'punch';
  bend: string;
  value: string;
}
const SIGNS = { '<': 'before', '@': 'gauge', '=': 'punch' } as const;

/** A pin as the bench writes it (`b1<b3`, `b2@lid`, `b4=P2`), or null where it is none. */
export function readPin(text: string): Pin | null {
  const found = /^\s*([^\s<@=]+)\s*([<@=])\s*([^\s<@=]+)\s*$/.exec(text);
  if (!found) return null;
  return { kind: SIGNS[found[2] as '<' | '@' | '='], bend: found[1] ?? '', value: found[3] ?? '' };
}
export function writePin(pin: Pin): string {
  return `${pin.bend}${{ before: '<', gauge: '@', punch: '=' }[pin.kind]}${pin.value}`;
}
export const sameOrder = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((one, i) => one === b[i]);
