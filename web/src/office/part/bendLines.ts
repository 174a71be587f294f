/** Bend lines of a drawing that does not say their angle or direction: the table the bench asks for (D341), typed in and sent back as CSV. */
import type { Finding } from '../../api/shapes';

export interface BendLine {
  /** Number of the line, middle and length [mm in the drawing]. */
  line: string;
  x: string;
  y: string;
  length: string;
  direction: string;
  turned: string;
  radius: string;
}
/** From where to where a line goes [mm in the drawing]. */
export type Ends = readonly [number, number, number, number];
type Asking = Pick<Finding, 'bend_lines'>;

const HEAD = ['line', 'x_mm', 'y_mm', 'length_mm', 'direction', 'turned_deg', 'included_deg', 'inside_radius_mm'];

/** The lines a finding asks about, with what is known of them; empty where it asks for nothing of the kind. */
export function linesAsked({ bend_lines = [] }: Asking): BendLine[] {
  return bend_lines.map((one) => ({
    line: String(one.number),
    x: (0.5 * (one.start[0] + one.end[0])).toFixed(2),
    y: (0.5 * (one.start[1] + one.end[1])).toFixed(2),
    length: one.length_mm.toFixed(2),
    direction: one.direction ?? '',
    turned: one.turned_deg === null ? '' : String(one.turned_deg),
    radius: one.inside_radius_mm === null ? '' : String(one.inside_radius_mm),
  }));
}

/** Where the lines lie that a finding asks about, by their number. */
export function endsOf({ bend_lines = [] }: Asking): Map<string, Ends> {
  return new Map(bend_lines.map(({ number, start, end }) => [String(number), [...start, ...end] as const]));
}

/** What was typed of the same lines before stays. */
export function withTyped(asked: readonly BendLine[], before: readonly BendLine[]): BendLine[] {
  return asked.map((one) => before.find((had) => had.line === one.line && had.x === one.x && had.y === one.y) ?? one);
}

/** The table as it is sent: semicolons between, so that a decimal comma may stand; empty while nothing is typed. */
export function tableText(lines: readonly BendLine[]): string {
  const clean = (text: string): string => text.replace(/[;"\r\n]/g, ' ').trim();
  const said = lines.filter((one) => clean(one.direction + one.turned + one.radius) !== '');
  if (said.length === 0) return '';
  return [HEAD.join(';'), ...said.map((one) => [one.line, one.x, one.y, one.length, one.direction, clean(one.turned), '', clean(one.radius)].join(';'))].join('\n');
}

/** The line of the drawing that a finding about the table that was sent is about (`bends.csv:3`). */
export function lineOf(where: string, lines: readonly BendLine[]): string | undefined {
  const row = /^bends\.csv:(\d+)/.exec(where);
  const said = lines.filter((one) => (one.direction + one.turned + one.radius).trim() !== '');
  return row ? said[Number(row[1]) - 2]?.line : undefined;
}
