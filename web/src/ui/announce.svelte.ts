/** Words for those who hear the page: what changed without the focus moving. */
export const said = $state({ polite: '', urgent: '' });

export function announce(text: string, how: 'polite' | 'urgent' = 'polite'): void {
  // the same sentence twice is heard twice only if the text differs
  said[how] = said[how] === text ? `${text}\u00a0` : text;
}
