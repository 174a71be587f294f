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

export const ASKED = 'D341';
const HEAD = 'line,x_mm,y_mm,length_mm,direction,turned_deg,included_deg,inside_radius_mm';
const LINE = /\bline (\d+) from \((-?[\d.]+), (-?[\d.]+)\) to \((-?[\d.]+), (-?[\d.]+)\)/g;

/** The lines a finding asks about; empty where it is another finding. */
export function linesAsked(finding: Pick<Finding, 'code' | 'sentence'>): BendLine[] {
  if (finding.code !== ASKED) return [];
  const rows = finding.sentence.split(/\r?\n/).map((row) => row.trim());
  const from = rows.indexOf(HEAD);
  return rows
    .slice(from + 1)
    .filter((row) => from >= 0 && /^\d+,/.test(row))
    .map((row) => {
      const [line = '', x = '', y = '', length = '', direction = '', turned = '', , radius = ''] = row.split(',');
      return { line, x, y, length, direction, turned, radius };
    });
}

/** Where the lines lie that a finding names, by their number. */
export function endsOf(finding: Pick<Finding, 'sentence'>): Map<string, Ends> {
  return new Map([...finding.sentence.matchAll(LINE)].map(([, n = '', ...at]) => [n, at.map(Number) as unknown as Ends]));
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
  return [HEAD.replaceAll(',', ';'), ...said.map((one) => [one.line, one.x, one.y, one.length, one.direction, clean(one.turned), '', clean(one.radius)].join(';'))].join('\n');
}

/** The line of the drawing that a finding about the table that was sent is about (`bends.csv:3`). */
export function lineOf(where: string, lines: readonly BendLine[]): string | undefined {
  const row = /^bends\.csv:(\d+)/.exec(where);
  const said = lines.filter((one) => (one.direction + one.turned + one.radius).trim() !== '');
  return row ? said[Number(row[1]) - 2]?.line : undefined;
}
