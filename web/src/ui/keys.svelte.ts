/** Keys that act without a mouse. Each tells what it does; the help window lists those that act now. */
import { untrack } from 'svelte';
import { settings } from '../settings.svelte';
import type { Key } from '../words/words';

export interface KeyAct {
  /** As `KeyboardEvent.key`, e.g. `?`, `n`, `ArrowRight`. */
  key: string;
  words: Key;
  act: () => void;
}

class Keys {
  acts: readonly KeyAct[] = $state.raw([]);
}

export const keys = new Keys();

/** Let keys act while a component lives: `$effect(() => keysAct([...]))`. */
export function keysAct(acts: KeyAct[]): () => void {
  untrack(() => (keys.acts = [...keys.acts, ...acts]));
  return () => {
    untrack(() => (keys.acts = keys.acts.filter((one) => !acts.includes(one))));
  };
}

function typing(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));
}

/** For `<svelte:window onkeydown={pressed}>`. */
export function pressed(event: KeyboardEvent): void {
  if (!settings.shortcuts || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
  if (document.querySelector('dialog[open]')) return;
  const found = keys.acts.findLast((one) => one.key === event.key);
  if (!found) return;
  event.preventDefault();
  found.act();
}
