/** What a person chose for this screen: language, units, which of the two angles, and whether single keys act. Kept in the browser. */

export type Language = 'en' | 'de';
export type Units = 'mm' | 'inch';
export type Angles = 'included' | 'turned';

export interface Settings {
  language: Language;
  units: Units;
  angles: Angles;
  shortcuts: boolean;
}

const PLACE = 'bendwright.settings';
const CHOICES = { language: ['en', 'de'], units: ['mm', 'inch'], angles: ['included', 'turned'], shortcuts: [true, false] } as const;

function usual(): Settings {
  const german = globalThis.navigator?.language?.toLowerCase().startsWith('de') === true;
  return { language: german ? 'de' : 'en', units: 'mm', angles: 'included', shortcuts: true };
}

/** Settings from text that may be old, foreign or broken: what is not understood stays at its usual value. */
export function readSettings(text: string | null): Settings {
  const read: Record<string, unknown> = { ...usual() };
  let kept: unknown = null;
  try {
    kept = JSON.parse(text ?? 'null');
  } catch {
    kept = null;
  }
  if (typeof kept === 'object' && kept !== null) {
    for (const [name, allowed] of Object.entries(CHOICES)) {
      const value = (kept as Record<string, unknown>)[name];
      if ((allowed as readonly unknown[]).includes(value)) read[name] = value;
    }
  }
  return read as unknown as Settings;
}

function stored(): string | null {
  try {
    return localStorage.getItem(PLACE);
  } catch {
    return null;
  }
}

export const settings: Settings = $state(readSettings(stored()));

/** Change some settings; they are kept at once, also for other open windows. */
export function choose(change: Partial<Settings>): void {
  Object.assign(settings, change);
  try {
    localStorage.setItem(PLACE, JSON.stringify(settings));
  } catch {
    // a browser that keeps nothing still works until it is closed
  }
  tellDocument();
}

/** The page's own language, for screen readers and hyphenation. */
export function tellDocument(): void {
  if (typeof document !== 'undefined') document.documentElement.lang = settings.language;
}

if (typeof window !== 'undefined') {
  window.addEventListener('storage', (event) => {
    if (event.key !== PLACE) return;
    Object.assign(settings, readSettings(event.newValue));
    tellDocument();
  });
}
