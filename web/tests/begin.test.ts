/** A file dropped beside the place for it is taken as if dropped on it: one that is too large is told, not passed over. */
import { flushSync, mount, unmount } from 'svelte';
import { expect, it } from 'vitest';
import Begin from '../src/office/part/Begin.svelte';
import { beginTyping, MOST_BYTES } from '../src/office/part/begin';
import { all } from '../src/office/part/kept';
import de from '../src/words/office/de.json';
import en from '../src/words/office/en.json';
import { settings } from '../src/settings.svelte';
import { addWords } from '../src/words/words';

addWords({ en, de });

function dropBeside(file: { name: string; size: number }): void {
  const event = new Event('drop', { cancelable: true });
  Object.assign(event, { dataTransfer: { files: [file] } });
  window.dispatchEvent(event);
  flushSync();
}

it('tells of a file that is too large wherever it is dropped, and begins with one that is not', () => {
  localStorage.clear();
  const begin = mount(Begin, { target: document.body });
  flushSync();
  dropBeside({ name: 'hall.step', size: MOST_BYTES + 1 });
  expect(document.body.textContent).toContain('hall.step');
  expect(all()).toEqual([]);
  dropBeside({ name: 'tray.step', size: 1000 });
  expect(all().map((draft) => draft.file)).toEqual(['tray.step']);
  void unmount(begin);
});

it('begins to type in the unit the person reads', () => {
  for (const units of ['inch', 'mm'] as const) {
    localStorage.clear();
    settings.units = units;
    beginTyping('panel');
    expect(all().map((draft) => draft.head.unit)).toEqual([units]);
  }
});
