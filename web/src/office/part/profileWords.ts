/** What every word of a typed profile means. The bench reads the line; this only explains it, word by word, as it is typed. */

export type Role = 'hem' | 'leg' | 'bend' | 'times' | 'length' | 'odd';
export interface Word {
  /** Place of the word as findings count it, from 1. */
  number: number;
  text: string;
  role: Role;
  /** Which way a bend or hem goes. */
  way?: 'up' | 'down';
  /** The number of a leg, hem or length as typed; of a bend its angle. */
  size?: string;
  /** Whether the angle of a bend was typed as turned (default) or included. */
  kind?: 'turned' | 'included';
  /** How a leg is measured. */
  face?: 'outside' | 'inside' | 'top' | 'bottom';
}

const BEND = /^([ud])(i?)(\d.*|[.,]\d.*)?$/i;
const HEM = /^h([ud])(.*)$/i;
const APART = /^(mm|cm|m|in\.?|inch|inches|"|\d+\/\d+.*)$/i;
const FACES: Record<string, Word['face']> = { o: 'outside', i: 'inside', top: 'top', bottom: 'bottom' };

export function explain(line: string): Word[] {
  const raw: { number: number; text: string }[] = [];
  for (const [index, found] of [...line.matchAll(/\S+/g)].entries()) {
    const before = raw.at(-1);
    if (before && APART.test(found[0]) && /\d$/.test(before.text)) before.text += ` ${found[0]}`;
    else raw.push({ number: index + 1, text: found[0] });
  }
  const cut = raw.findIndex((word) => word.text.toLowerCase() === 'x');
  return raw.map((word, i) => {
    if (i === cut) return { ...word, role: 'times' };
    if (cut >= 0 && i > cut) return { ...word, role: 'length', size: word.text };
    return { ...word, ...roleOf(word.text) };
  });
}

function roleOf(text: string): Omit<Word, 'number' | 'text'> {
  const hem = HEM.exec(text);
  if (hem) return { role: 'hem', way: way(hem[1]), size: hem[2] ?? '' };
  const bend = BEND.exec(text);
  if (bend) return { role: 'bend', way: way(bend[1]), size: bend[3] ?? '90', kind: bend[2] && bend[3] ? 'included' : 'turned' };
  const slash = text.lastIndexOf('/');
  const face = slash > 0 ? FACES[text.slice(slash + 1).toLowerCase()] : undefined;
  const size = face ? text.slice(0, slash) : text;
  return /^[.,]?\d/.test(size) ? { role: 'leg', size, face: face ?? 'outside' } : { role: 'odd' };
}

const way = (letter: string | undefined): 'up' | 'down' => (letter?.toLowerCase() === 'd' ? 'down' : 'up');

/** The number of the word a finding is about (`word 3 "u9o"`); null for the line as a whole. */
export function wordOf(where: string): number | null {
  const found = /^word (\d+) /.exec(where);
  return found ? Number(found[1]) : null;
}
