/**
 * Answers while typing: every key calls off the question before and asks anew after a short rest; an answer that comes after a newer
 * question was asked is never shown. A second question may follow when typing rests for longer.
 */
import { calledOff } from '../../api/client';

export interface Times {
  /** Rest after a key before the first question [ms]. */
  soon: number;
  /** Rest after its answer before the long question [ms]. */
  late: number;
}

export interface Steps<T> {
  /** The quick answer. */
  quick: (signal: AbortSignal) => Promise<T>;
  /** The full answer, once typing rests; null where there is nothing more to ask after that quick answer. */
  full?: (quick: T, signal: AbortSignal) => Promise<T> | null;
  show: (answer: T) => void;
  failed: (error: unknown) => void;
  /** Whether an answer is awaited: nothing, the quick one, or the full one. */
  waits?: (what: '' | 'quick' | 'full') => void;
}

export class Live<T> {
  readonly #steps: Steps<T>;
  readonly #times: Times;
  #running: AbortController | undefined;

  constructor(steps: Steps<T>, times: Times = { soon: 40, late: 600 }) {
    this.#steps = steps;
    this.#times = times;
  }

  /** Something was typed. `now` asks without the short rest. */
  ask(now = false): void {
    this.stop();
    const running = new AbortController();
    this.#running = running;
    void this.#go(running, now);
  }

  /** Nothing that was asked shall be shown any more. */
  stop(): void {
    this.#running?.abort();
    this.#running = undefined;
    this.#steps.waits?.('');
  }

  async #go(running: AbortController, now: boolean): Promise<void> {
    const current = (): boolean => this.#running === running;
    try {
      this.#steps.waits?.('quick');
      if (!now) await rest(this.#times.soon, running.signal);
      const quick = await this.#steps.quick(running.signal);
      if (!current()) return;
      this.#steps.show(quick);
      this.#steps.waits?.('full');
      await rest(this.#times.late, running.signal);
      const asked = this.#steps.full?.(quick, running.signal) ?? null;
      if (asked) {
        const full = await asked;
        if (current()) this.#steps.show(full);
      }
    } catch (error) {
      if (current() && !calledOff(error)) this.#steps.failed(error);
    } finally {
      if (current()) this.#steps.waits?.('');
    }
  }
}

function rest(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((done, stop) => {
    if (signal.aborted) {
      stop(new DOMException('called off', 'AbortError'));
      return;
    }
    const timer = setTimeout(done, ms);
    signal.addEventListener('abort', () => {
      clearTimeout(timer);
      stop(new DOMException('called off', 'AbortError'));
    });
  });
}
