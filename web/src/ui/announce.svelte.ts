/** Words for those who hear the page: what changed without the focus moving. */
import { untrack } from 'svelte';

export const said = $state({ polite: '', urgent: '' });

export function announce(text: string, how: 'polite' | 'urgent' = 'polite'): void {
  // the same sentence twice is heard twice only if the text differs; who announces does not depend on what was said before
  said[how] = untrack(() => said[how]) === text ? `${text}\u00a0` : text;
}
