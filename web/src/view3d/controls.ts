/** What is pressed and pushed below the 3D view: view buttons, and for a film the two scrubbers. Plain elements, no framework. */
import type { FilmStroke } from './film';
import { VIEWS, type ViewName } from './orbit';

/** Words of the view in the person's language; `{n}`, `{of}` are filled in. */
export interface Labels {
  canvas: string;
  corner: string;
  operator: string;
  side: string;
  top: string;
  fit: string;
  play: string;
  pause: string;
  plan: string;
  stroke: string;
  strokeOf: string;
  closest: string;
  loading: string;
  noWebgl: string;
  unreadable: string;
  phases: Record<string, string>;
}

export function element<K extends keyof HTMLElementTagNameMap>(name: K, set: Partial<HTMLElementTagNameMap[K]> = {}, ...children: Node[]): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  Object.assign(made, set);
  made.append(...children);
  return made;
}

function button(text: string, act: () => void): HTMLButtonElement {
  const made = element('button', { type: 'button', textContent: text });
  made.addEventListener('click', act);
  return made;
}

export function viewBar(labels: Labels, look: (view: ViewName | 'fit') => void): HTMLElement {
  const bar = element('div', { className: 'fv-bar no-print' });
  bar.append(...(Object.keys(VIEWS) as ViewName[]).map((view) => button(labels[view], () => look(view))), button(labels.fit, () => look('fit')));
  return bar;
}

export interface TimeActs {
  seek: (seconds: number) => void;
  play: () => void;
  closest: () => void;
}

/** Scrubber over the whole plan with a block for every stroke, and one within the stroke that is shown. */
export class TimeBar {
  /** Play, where one is, closest moment. */
  readonly acts: HTMLElement;
  readonly box: HTMLElement;
  readonly #play: HTMLButtonElement;
  readonly #now = element('span', { className: 'fv-now' });
  readonly #whole = element('input', { type: 'range', min: '0', step: 'any' });
  readonly #within = element('input', { type: 'range', min: '0', step: 'any' });
  readonly #blocks: SVGRectElement[] = [];
  #stroke: FilmStroke | undefined;
  readonly #labels: Labels;

  constructor(labels: Labels, strokes: readonly FilmStroke[], seconds: number, acts: TimeActs) {
    this.#labels = labels;
    this.#play = button(labels.play, acts.play);
    this.#whole.max = String(seconds);
    this.#whole.id = `fv-${crypto.getRandomValues(new Uint32Array(1))[0]}`;
    this.#within.id = `${this.#whole.id}-s`;
    this.acts = element('span', { className: 'fv-acts' }, this.#play, this.#now, button(labels.closest, acts.closest));
    const label = (text: string, htmlFor: string): HTMLLabelElement => element('label', { textContent: text, htmlFor });
    const track = element('div', { className: 'fv-track' }, this.#whole);
    track.append(this.#ticks(strokes, seconds));
    this.box = element('div', { className: 'fv-time no-print' }, label(labels.plan, this.#whole.id), track, label(labels.stroke, this.#within.id), this.#within);
    this.#whole.addEventListener('input', () => acts.seek(Number(this.#whole.value)));
    this.#within.addEventListener('input', () => acts.seek((this.#stroke?.starts ?? 0) + Number(this.#within.value)));
    for (const range of [this.#whole, this.#within]) range.addEventListener('keydown', (event) => this.#step(event, range, acts));
  }

  /** Arrow keys move by a fiftieth: `step="any"` alone would move by whole seconds. */
  #step(event: KeyboardEvent, range: HTMLInputElement, acts: TimeActs): void {
    const way = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
    if (way === undefined) return;
    event.preventDefault();
    const at = Number(range.value) + (way * Number(range.max)) / 50;
    acts.seek((range === this.#within ? (this.#stroke?.starts ?? 0) : 0) + Math.max(0, Math.min(Number(range.max), at)));
  }

  tell(seconds: number, stroke: FilmStroke | undefined, count: number, phase: string, playing: boolean): void {
    this.#play.textContent = playing ? this.#labels.pause : this.#labels.play;
    if (!stroke) return;
    this.#stroke = stroke;
    const words = `${this.#labels.strokeOf.replace('{n}', String(stroke.number)).replace('{of}', String(count))}: ${this.#labels.phases[phase] ?? phase}`;
    this.#now.textContent = words;
    this.#whole.value = String(seconds);
    this.#within.max = String(stroke.ends - stroke.starts);
    this.#within.value = String(seconds - stroke.starts);
    this.#whole.setAttribute('aria-valuetext', words);
    this.#within.setAttribute('aria-valuetext', words);
    this.#blocks.forEach((block, i) => block.classList.toggle('now', i === stroke.number - 1));
  }

  #ticks(strokes: readonly FilmStroke[], seconds: number): SVGSVGElement {
    const NS = 'http://www.w3.org/2000/svg';
    const make = <T extends SVGElement>(name: string, set: Record<string, string | number>): T => {
      const made = document.createElementNS(NS, name) as T;
      for (const [key, value] of Object.entries(set)) made.setAttribute(key, String(value));
      return made;
    };
    const svg = make<SVGSVGElement>('svg', { viewBox: `0 0 ${seconds} 10`, preserveAspectRatio: 'none', class: 'fv-ticks', 'aria-hidden': 'true' });
    for (const one of strokes) {
      const block = make<SVGRectElement>('rect', { x: one.starts, y: 2, width: one.ends - one.starts, height: 6 });
      this.#blocks.push(block);
      svg.append(block);
      if (one.clearance) svg.append(make('path', { d: `M${one.starts + one.clearance.seconds} 0V10` }));
    }
    return svg;
  }
}
