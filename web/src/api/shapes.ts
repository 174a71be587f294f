/** Shapes every page meets, under short names. */
import type { components } from './schema';

/** A number ready to be read: texts by the person's switches, with its band and where it comes from. */
export type Shown = components['schemas']['Shown'];

/** `severity` is error, watch or note. */
export type Finding = components['schemas']['FindingShown'];

/** An error as the bench answers it (RFC 9457, application/problem+json). */
export interface Problem {
  type?: string;
  title: string;
  status: number;
  findings: Finding[];
}
