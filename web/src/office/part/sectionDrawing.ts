/** The section on the screen: where its pieces and their labels go. Lengths come in mm and leave in pixels; nothing is worked out of them. */
import type { LookCut } from './shapes';

export interface Drawn {
  width: number;
  height: number;
  pieces: { kind: string; id: string; points: string; x: number; y: number; labelX: number; labelY: number }[];
}

const MARGIN = 70;
const AWAY = 22;
/** Half of what a label is wide, about. */
const TEXT = 34;

/** The pieces to scale within a box, labels away from the middle of the section. */
export function drawSection(cuts: readonly LookCut[], width: number, mostHeight: number): Drawn | null {
  const points = cuts.flatMap((cut) => cut.outline);
  if (points.length === 0) return null;
  const xs = points.map((point) => point[0] ?? 0);
  const ys = points.map((point) => point[1] ?? 0);
  const [left, right, foot, top] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min((width - 2 * MARGIN) / Math.max(right - left, 1), (mostHeight - 2 * MARGIN) / Math.max(top - foot, 1));
  const height = Math.min(mostHeight, (top - foot) * scale + 2 * MARGIN);
  const startX = 0.5 * (width - (right - left) * scale);
  const at = (x: number, y: number): [number, number] => [startX + (x - left) * scale, MARGIN + (top - y) * scale];
  const middle = at(0.5 * (left + right), 0.5 * (foot + top));
  return {
    width,
    height,
    pieces: cuts.map((cut) => {
      const [x, y] = at(cut.middle[0] ?? 0, cut.middle[1] ?? 0);
      const [awayX, awayY] = outward(cut, [x, y], middle);
      return {
        kind: cut.kind,
        id: cut.id,
        points: cut.outline.map((point) => at(point[0] ?? 0, point[1] ?? 0).map((value) => value.toFixed(2)).join(',')).join(' '),
        x,
        y,
        labelX: x + (AWAY + TEXT) * awayX,
        labelY: y + AWAY * awayY,
      };
    }),
  };
}

/** Square to a flat piece, away from the middle of all; of a bend straight away from it. */
function outward(cut: LookCut, at: [number, number], middle: [number, number]): [number, number] {
  const [a, b] = cut.outline;
  let way: [number, number] = [at[0] - middle[0], at[1] - middle[1]];
  if (cut.kind === 'flange' && a && b) {
    const square: [number, number] = [(b[1] ?? 0) - (a[1] ?? 0), (b[0] ?? 0) - (a[0] ?? 0)];
    const same = square[0] * way[0] + square[1] * way[1] >= -1e-6;
    way = same ? square : [-square[0], -square[1]];
  }
  const length = Math.hypot(...way);
  return length < 1e-6 ? [0, 1] : [way[0] / length, way[1] / length];
}

const clamp = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high);

const LETTER = 8.2;
const LINE = 18;

/** Labels moved up or down until none lies on another and all are in the box; `room` is beside each for a mark. */
export function apart<L extends { text: string; x: number; y: number }>(labels: readonly L[], width: number, height: number, room = 26): L[] {
  const placed: L[] = [];
  for (const label of labels) {
    const half = 0.5 * LETTER * label.text.length;
    const x = clamp(label.x, half + room, Math.max(width - half - room, half + room));
    const steps = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5].map((n) => label.y + n * LINE);
    const free = (y: number): boolean =>
      y > 14 && y < height - 4 && placed.every((other) => Math.abs(other.y - y) >= LINE - 2 || Math.abs(other.x - x) >= half + 0.5 * LETTER * other.text.length + room);
    placed.push({ ...label, x, y: steps.find(free) ?? label.y });
  }
  return placed;
}
