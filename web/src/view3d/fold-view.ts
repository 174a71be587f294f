/**
 * `<fold-view>`: a folded part, or the film of a plan, in three dimensions. Free of any framework; three is fetched when the
 * element is first shown.
 *
 * Properties: `labels` (words, required), `mesh` (a {@link FoldedMesh}) or `film` (address of a GLB), `highlight` (ids of flanges
 * and bends), `clearances` (text for the closest place by stroke number), `stroke` (go to a stroke).
 * Methods: `showStroke(n)`, `showClosest(n)`, `seek(seconds)`, `look(view)`.
 * Events: `fold-ready` {strokes}, `fold-select` {kind, id} or null, `fold-time` {seconds, stroke, phase}, `fold-error` {message}.
 */
import './fold-view.css';
import { TimeBar, element, viewBar, type Labels } from './controls';
import type { Film } from './film';
import type { Folded, FoldedMesh } from './folded';
import type { ViewName } from './orbit';
import type { Stage } from './stage';

export type { FoldedMesh, Labels };

/** The half of the code that needs three. */
export const drawing = () => import('./drawing');
const LAST_LOOK_S = 0.1;

export class FoldView extends HTMLElement {
  #labels: Labels | undefined;
  #mesh: FoldedMesh | null = null;
  #film: string | null = null;
  #highlight = new Set<string>();
  #clearances: Record<number, string> = {};
  #wanted: number | null = null;

  readonly #box = element('div', { className: 'fv-stage' });
  readonly #said = element('p', { className: 'fv-said' });
  readonly #mark = element('span', { className: 'fv-close', hidden: true });
  readonly #dot = element('span', { className: 'fv-dot', hidden: true });
  #stage: Stage | undefined;
  #shown: Film | Folded | undefined;
  #played: Film | undefined;
  #time: TimeBar | undefined;
  #views: HTMLElement | undefined;
  #turn = 0;
  #frame = 0;
  #asked: AbortController | undefined;

  set labels(labels: Labels) {
    this.#labels = labels;
    if (this.#stage) this.#furnish();
  }
  set mesh(mesh: FoldedMesh | null) {
    this.#mesh = mesh;
    void this.#refresh();
  }
  set film(address: string | null) {
    if (address === this.#film) return;
    this.#film = address;
    void this.#refresh();
  }
  set highlight(ids: readonly string[]) {
    this.#highlight = new Set(ids);
    this.#shown?.highlight(this.#highlight);
    this.#stage?.dirty();
  }
  set clearances(texts: Record<number, string>) {
    this.#clearances = texts;
    this.#stage?.dirty();
  }
  set stroke(number: number | null) {
    this.#wanted = number;
    if (number !== null) this.showStroke(number);
  }
  /** For measurements: the stage with its last frame's milliseconds. */
  get stage(): Stage | undefined {
    return this.#stage;
  }
  get seconds(): number {
    return this.#played?.seconds ?? 0;
  }

  connectedCallback(): void {
    this.append(this.#box);
    this.#box.append(this.#said, this.#dot, this.#mark);
    void this.#refresh();
  }
  disconnectedCallback(): void {
    this.#turn += 1;
    this.#asked?.abort();
    this.#pause();
    this.#shown?.end();
    this.#stage?.end();
    this.#stage = this.#shown = this.#played = this.#time = this.#views = undefined;
    this.replaceChildren();
    this.#box.replaceChildren();
  }

  showStroke(number: number): void {
    const stroke = this.#played?.strokes.find((one) => one.number === number);
    if (stroke) this.seek(stroke.starts + stroke.at.touch);
  }
  showClosest(number?: number): void {
    const film = this.#played;
    const stroke = number === undefined ? film?.strokeAt(film.now) : film?.strokes.find((one) => one.number === number);
    if (stroke?.clearance) this.seek(stroke.starts + stroke.clearance.seconds);
  }
  seek(seconds: number): void {
    this.#pause();
    this.#show(seconds);
  }
  look(view: ViewName | 'fit'): void {
    this.#stage?.look(view);
  }

  /** Fetch and show what is wanted now; a newer wish overtakes an older one. */
  async #refresh(): Promise<void> {
    if (!this.isConnected || (!this.#film && !this.#mesh)) return;
    const turn = ++this.#turn;
    this.#asked?.abort();
    this.#asked = new AbortController();
    if (!this.#shown) this.#say(this.#labels?.loading ?? '');
    try {
      const address = this.#film;
      const film = address ? this.#fetch(address, this.#asked.signal) : null;
      film?.catch(() => undefined); // told below, when it is its turn
      const code = await drawing();
      if (turn !== this.#turn) return;
      this.#stage ??= this.#build(code.Stage);
      const data = await film;
      const next = data ? await code.Film.read(data) : this.#mesh ? new code.Folded(this.#mesh) : undefined;
      if (turn !== this.#turn || !next) return next?.end();
      this.#put(next, 'seconds' in next ? next : undefined);
    } catch (error) {
      if (turn === this.#turn) this.#fail(error);
    }
  }

  async #fetch(address: string, signal: AbortSignal): Promise<ArrayBuffer> {
    const answer = await fetch(address, { signal, credentials: 'same-origin' });
    if (!answer.ok) throw new Error(String(answer.status));
    return answer.arrayBuffer();
  }

  #build(Kind: typeof Stage): Stage {
    let stage: Stage;
    try {
      stage = new Kind(this.#box, this.#labels?.canvas ?? '', (found) => this.#clicked(found));
    } catch (error) {
      throw new Error(this.#labels?.noWebgl ?? 'no WebGL', { cause: error });
    }
    stage.drawn = () => this.#placeMark();
    return stage;
  }

  #put(next: Film | Folded, film: Film | undefined): void {
    const stage = this.#stage;
    if (!stage) return;
    const old = this.#shown;
    if (old) stage.scene.remove('group' in old ? old.group : old.root);
    old?.end();
    this.#shown = next;
    this.#played = film;
    stage.scene.add('group' in next ? next.group : next.root);
    next.highlight(this.#highlight);
    const corners = next.corners();
    stage.fitTo(() => corners);
    this.#said.hidden = true;
    // a part that changes while it is typed keeps its bar, and with it the focus
    if (film || this.#time || !this.#views) this.#furnish();
    if (film) {
      this.#show(0);
      if (this.#wanted !== null) this.showStroke(this.#wanted);
    }
    stage.dirty();
    this.#tell('fold-ready', { strokes: film?.strokes ?? [] });
  }

  /** The bars below, in the words of the moment. */
  #furnish(): void {
    const labels = this.#labels;
    this.#views?.remove();
    this.#time?.box.remove();
    this.#time = undefined;
    if (!labels || !this.#stage) return;
    this.#stage.canvas.setAttribute('aria-label', labels.canvas);
    this.#views = viewBar(labels, (view) => this.look(view));
    this.append(this.#views);
    const film = this.#played;
    if (!film) return;
    this.#time = new TimeBar(labels, film.strokes, film.seconds, {
      seek: (seconds) => this.seek(seconds),
      play: () => (this.#frame ? this.#pause() : this.#play()),
      closest: () => this.showClosest(),
    });
    this.#views.prepend(this.#time.acts);
    this.append(this.#time.box);
    this.#tellTime();
  }

  #show(seconds: number): void {
    this.#played?.show(seconds);
    this.#stage?.dirty();
    this.#tellTime();
  }

  #tellTime(): void {
    const film = this.#played;
    const stroke = film?.strokeAt(film.now);
    if (!film || !stroke) return;
    const phase = film.phaseAt(stroke, film.now);
    this.#time?.tell(film.now, stroke, film.strokes.length, phase, this.#frame !== 0);
    this.#tell('fold-time', { seconds: film.now, stroke: stroke.number, phase });
  }

  #play(): void {
    const film = this.#played;
    if (!film) return;
    if (film.now > film.seconds - LAST_LOOK_S) film.show(0);
    let before = performance.now();
    const step = (now: number): void => {
      const to = film.now + (now - before) / 1000;
      before = now;
      this.#frame = to < film.seconds ? requestAnimationFrame(step) : 0;
      this.#show(to);
    };
    this.#frame = requestAnimationFrame(step);
    this.#tellTime();
  }
  #pause(): void {
    if (!this.#frame) return;
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    this.#tellTime();
  }

  /** The text of the closest place stands beside it, as far as it is in the picture. */
  #placeMark(): void {
    const found = this.#played?.closest();
    const at = found ? this.#stage?.onCanvas(found.spot) : null;
    this.#mark.hidden = this.#dot.hidden = !found || !at;
    if (!found || !at || !this.#stage) return;
    const text = this.#clearances[found.stroke.number];
    this.#mark.textContent = text ?? found.stroke.clearance?.against ?? '';
    this.#dot.style.transform = `translate(${Math.round(at.x)}px, ${Math.round(at.y)}px)`;
    const left = at.x > 0.6 * this.#stage.canvas.clientWidth;
    this.#mark.classList.toggle('left', left);
    this.#mark.style.transform = `translate(${Math.round(at.x + (left ? -14 : 14))}px, ${Math.round(Math.max(4, at.y - 14))}px)`;
  }

  async #clicked(node: Parameters<typeof import('./drawing').pieceOf>[0]): Promise<void> {
    const { pieceOf } = await drawing();
    this.#tell('fold-select', pieceOf(node));
  }

  #fail(error: unknown): void {
    if (error instanceof DOMException && error.name === 'AbortError') return;
    const words = error instanceof Error && error.message === this.#labels?.noWebgl ? error.message : (this.#labels?.unreadable ?? '');
    this.#say(words);
    this.#tell('fold-error', { message: words });
  }
  #say(words: string): void {
    this.#said.textContent = words;
    this.#said.hidden = words === '';
  }
  #tell(name: string, detail: unknown): void {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

if (!customElements.get('fold-view')) customElements.define('fold-view', FoldView);
