/** Shapes every page meets, under short names. */

/** A number ready to be read: texts by the person's switches, with its band and where it comes from. */
export interface Shown {
  kind: 'length' | 'angle' | 'force' | 'line_load' | 'time' | 'mass' | 'percent' | 'count' | 'plain';
  /** mm, degrees included, kN, kN/m, s, kg; null where it is not known. */
  value: number | null;
  texts: Record<string, string>;
  band?: Record<string, string> | null;
  source?: string | null;
}

export type Severity = 'error' | 'watch' | 'note';

export interface Finding {
  code: string;
  severity: Severity;
  sentence: string;
  where: string;
  cure: string;
}

/** An error as the bench answers it (RFC 9457, application/problem+json). */
export interface Problem {
  type?: string;
  title: string;
  status: number;
  findings: Finding[];
}
