/** Where points and marks of a curve stand in its picture. */

export interface Frame {
  width: number;
  height: number;
  left: number;
  right: number;
  top: number;
  foot: number;
}
export interface Ends {
  low: number;
  high: number;
}

export function across(frame: Frame, x: Ends, value: number): number {
  const wide = frame.width - frame.left - frame.right;
  return frame.left + (wide * (value - x.low)) / (x.high - x.low || 1);
}
export function up(frame: Frame, y: Ends, value: number): number {
  const high = frame.height - frame.top - frame.foot;
  return frame.height - frame.foot - (high * (value - y.low)) / (y.high - y.low || 1);
}
/** The points as a path; what lies outside the axes is drawn outside, nothing is bent to fit. */
export function path(frame: Frame, x: Ends, y: Ends, points: readonly (readonly [number, number])[]): string {
  return points.map(([px, py], i) => `${i ? 'L' : 'M'}${across(frame, x, px).toFixed(1)} ${up(frame, y, py).toFixed(1)}`).join('');
}
/** The unit all marks of an axis have in common, where it is too long to stand at each of them; else nothing. */
export function longUnit(texts: readonly string[]): string {
  const units = new Set(texts.map((text) => text.replace(/^[-−+]?[\d.,]+\s*/, '')));
  const [unit = ''] = units;
  return units.size === 1 && unit.length > MOST_LETTERS ? unit : '';
}
const MOST_LETTERS = 5;

/** Where a bar from `from` to `to` lies on a scale, in percent of its width; at least a hair wide. */
export function part(scale: Ends, from: number, to: number): { left: number; width: number } {
  const span = scale.high - scale.low || 1;
  const clip = (value: number): number => Math.max(0, Math.min(100, (100 * (value - scale.low)) / span));
  return { left: clip(from), width: Math.max(0.4, clip(to) - clip(from)) };
}
