/** Findings of a panel speak of the part file: on the page its fields have names, and its groups are counted. */
import type { Finding } from '../../api/shapes';
import { t, tData } from '../../words/words';

const PATH = /\bpanel((?:\.[a-z_]+(?:\[\d+\])?)+)/g;
const KEY = /(?<![\w.“„])[a-z]+(?:_[a-z]+)+(?![\w(])/g;

/** `holes[2]` as "Hole 2", `from_left` as "From left"; the base goes without saying. */
function step(part: string): string {
  const [, key = '', number = ''] = /^(\w+?)(?:\[(\d+)\])?$/.exec(part) ?? [];
  if (key === 'base') return '';
  const cut = tData('cut', key);
  const name = key === 'flanges' ? t('part.flange') : cut === key ? tData('field', key) : cut;
  return `${name} ${number}`.trim();
}

/** The text with the names of the page. */
export function inWords(text: string): string {
  return text
    .replace(PATH, (_whole, path: string) => path.slice(1).split('.').map(step).filter(Boolean).join(', ') || t('part.base_word'))
    .replace(KEY, (key) => (tData('field', key) === key ? key : `“${tData('field', key)}”`));
}

/** The same finding in those words, whichever language is read. */
export function panelFinding(finding: Finding): Finding {
  const german = finding.in_german && { sentence: inWords(finding.in_german.sentence), where: inWords(finding.in_german.where), cure: inWords(finding.in_german.cure) };
  return { ...finding, sentence: inWords(finding.sentence), cure: inWords(finding.cure), in_german: german };
}
