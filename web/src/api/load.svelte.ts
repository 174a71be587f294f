/** Data of a page on its way: loading, here, or refused. A newer question calls the older one off. */
import { calledOff } from './client';

export class Load<T> {
  data = $state.raw<T | undefined>(undefined);
  error = $state.raw<unknown>(undefined);
  busy = $state(false);
  #running: AbortController | undefined;
  readonly #ask: (signal: AbortSignal) => Promise<T>;

  /** @param ask the question, e.g. `(signal) => get('/jobs', { signal })` */
  constructor(ask: (signal: AbortSignal) => Promise<T>) {
    this.#ask = ask;
  }

  /** Ask (again). Old data stays on the page until new data is here. */
  async ask(): Promise<void> {
    this.stop();
    const running = new AbortController();
    this.#running = running;
    this.busy = true;
    try {
      const data = await this.#ask(running.signal);
      if (this.#running === running) {
        this.data = data;
        this.error = undefined;
      }
    } catch (error) {
      if (this.#running === running && !calledOff(error)) this.error = error;
    } finally {
      if (this.#running === running) this.busy = false;
    }
  }

  stop(): void {
    this.#running?.abort();
    this.#running = undefined;
    this.busy = false;
  }
}
