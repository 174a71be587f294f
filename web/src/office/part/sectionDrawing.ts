/** The section on the screen: where its pieces and their labels go. Lengths come in mm and leave in pixels; nothing is worked out of them. */
import type { LookCut } from './shapes';

export interface Drawn {
  width: number;
  height: number;
  pieces: { kind: string; id: string; points: string; x: number; y: number; labelX: number; labelY: number }[];
}

/** Room beside the section for the label of a bend with its mark, and above and below it. */
const MARGIN_X = 118;
const MARGIN = 70;
const AWAY = 10;
/** Half of what a label is wide and high, about. */
const TEXT = 34;
const HIGH = 9;

/** The pieces to scale within a box, labels away from the middle of the section. */
export function drawSection(cuts: readonly LookCut[], width: number, mostHeight: number): Drawn | null {
  const points = cuts.flatMap((cut) => cut.outline);
  if (points.length === 0) return null;
  const xs = points.map((point) => point[0] ?? 0);
  const ys = points.map((point) => point[1] ?? 0);
  const [left, right, foot, top] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min(Math.max(width - 2 * MARGIN_X, 40) / Math.max(right - left, 1), (mostHeight - 2 * MARGIN) / Math.max(top - foot, 1));
  const height = Math.min(mostHeight, (top - foot) * scale + 2 * MARGIN);
  const startX = 0.5 * (width - (right - left) * scale);
  const at = (x: number, y: number): [number, number] => [startX + (x - left) * scale, MARGIN + (top - y) * scale];
  const middle = at(0.5 * (left + right), 0.5 * (foot + top));
  return {
    width,
    height,
    pieces: cuts.map((cut) => {
      const [x, y] = at(cut.middle[0] ?? 0, cut.middle[1] ?? 0);
      const [awayX, awayY] = outward(cut, cuts, [x, y], middle);
      // so far that no corner of the label comes nearer than AWAY to the piece
      const thick = Math.max(...cut.outline.map((point) => at(point[0] ?? 0, point[1] ?? 0)).map(([px, py]) => (px - x) * awayX + (py - y) * awayY));
      const far = AWAY + thick + TEXT * Math.abs(awayX) + HIGH * Math.abs(awayY);
      return {
        kind: cut.kind,
        id: cut.id,
        points: cut.outline.map((point) => at(point[0] ?? 0, point[1] ?? 0).map((value) => value.toFixed(2)).join(',')).join(' '),
        x,
        y,
        labelX: x + far * awayX,
        labelY: y + far * awayY,
      };
    }),
  };
}

/** Square to a flat piece, away from the middle of all; of a bend to the side its flanges turn away from. */
function outward(cut: LookCut, cuts: readonly LookCut[], at: [number, number], middle: [number, number]): [number, number] {
  const [a, b] = cut.outline;
  let way: [number, number] = [at[0] - middle[0], at[1] - middle[1]];
  if (cut.kind === 'bend') way = turnedFrom(cut, cuts) ?? way;
  if (cut.kind === 'flange' && a && b) {
    const square: [number, number] = [(b[1] ?? 0) - (a[1] ?? 0), (b[0] ?? 0) - (a[0] ?? 0)];
    const same = square[0] * way[0] + square[1] * way[1] >= -1e-6;
    way = same ? square : [-square[0], -square[1]];
  }
  const length = Math.hypot(...way);
  return length < 1e-6 ? [0, 1] : [way[0] / length, way[1] / length];
}

/** Away from both flanges that meet at a bend, in pixels' sense (y down); null where they go on in one line. */
function turnedFrom(bend: LookCut, cuts: readonly LookCut[]): [number, number] | null {
  const [x, y] = [bend.middle[0] ?? 0, bend.middle[1] ?? 0];
  const near = (cut: LookCut): number => Math.min(...cut.outline.map((point) => Math.hypot((point[0] ?? 0) - x, (point[1] ?? 0) - y)));
  const flanges = cuts.filter((cut) => cut.kind === 'flange').sort((one, other) => near(one) - near(other));
  let [sumX, sumY] = [0, 0];
  for (const flange of flanges.slice(0, 2)) {
    const [dx, dy] = [(flange.middle[0] ?? 0) - x, (flange.middle[1] ?? 0) - y];
    const length = Math.hypot(dx, dy) || 1;
    sumX += dx / length;
    sumY += dy / length;
  }
  return Math.hypot(sumX, sumY) < 0.1 ? null : [-sumX, sumY];
}

const clamp = (value: number, low: number, high: number): number => Math.min(Math.max(value, low), high);

const LETTER = 8.2;
const LINE = 18;

/** Points along the outline of a piece, a few pixels apart. */
function along(outline: string): [number, number][] {
  const corners = outline.split(' ').map((pair) => pair.split(',').map(Number) as [number, number]);
  return corners.flatMap(([x, y], i) => {
    const [toX, toY] = corners[(i + 1) % corners.length] ?? [x, y];
    const steps = Math.max(1, Math.ceil(Math.hypot(toX - x, toY - y) / 4));
    return Array.from({ length: steps }, (_one, k): [number, number] => [x + ((toX - x) * k) / steps, y + ((toY - y) * k) / steps]);
  });
}

/** Labels moved up or down until none lies on another, nor on a piece where that can be, and all are in the box; `room` is beside each for a mark, `way` which way is tried first. */
export function apart<L extends { text: string; x: number; y: number; way?: number }>(labels: readonly L[], width: number, height: number, pieces: Drawn['pieces'] = [], room = 26): L[] {
  const ink = pieces.flatMap((piece) => along(piece.points));
  const placed: L[] = [];
  for (const label of labels) {
    const half = 0.5 * LETTER * label.text.length;
    const x = clamp(label.x, half + room, Math.max(width - half - room, half + room));
    const steps = [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5].map((n) => label.y + n * LINE * ((label.way ?? 1) < 0 ? -1 : 1));
    const bare = (y: number): boolean => !ink.some(([px, py]) => Math.abs(px - x) < half + 2 && Math.abs(py - y) < HIGH);
    const free = (y: number): boolean =>
      y > 14 && y < height - 4 && placed.every((other) => Math.abs(other.y - y) >= LINE - 2 || Math.abs(other.x - x) >= half + 0.5 * LETTER * other.text.length + room);
    placed.push({ ...label, x, y: steps.find((y) => free(y) && bare(y)) ?? steps.find(free) ?? label.y });
  }
  return placed;
}
