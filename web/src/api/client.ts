/** Asking the bench. Every refusal, also an unreachable bench, arrives as one {@link ApiError} with findings to show. */
import { settings } from '../settings.svelte';
import { learn } from '../words/said';
import { t } from '../words/words';
import type { paths } from './schema';
import type { Finding, Problem } from './shapes';

export const ROOT = '/api/v1';

type Method = 'get' | 'put' | 'post' | 'delete';
type Described<P extends string, M extends Method> = `${typeof ROOT}${P}` extends keyof paths
  ? M extends keyof paths[`${typeof ROOT}${P}`]
    ? paths[`${typeof ROOT}${P}`][M]
    : never
  : never;
type Json<C> = C extends { content: { 'application/json': infer A } } ? A : undefined;
type Good<R> = R extends { 200: infer A } ? Json<A> : R extends { 201: infer A } ? Json<A> : R extends { 202: infer A } ? Json<A> : undefined;
/** What the bench answers to a call, by its own description; unknown where the description has no such call. */
export type Answer<P extends string, M extends Method> = [Described<P, M>] extends [never]
  ? unknown
  : Described<P, M> extends { responses: infer R }
    ? Good<R>
    : unknown;

export interface Options {
  /** Fills `{name}` in the path. */
  path?: Record<string, string | number>;
  query?: Record<string, string | number | boolean | null | undefined>;
  /** Sent as JSON, or as it is when it is FormData. */
  body?: unknown;
  signal?: AbortSignal;
}

/** The bench said no, or could not be reached (status 0). */
export class ApiError extends Error {
  readonly status: number;
  readonly title: string;
  readonly findings: readonly Finding[];
  constructor(problem: Problem) {
    super(problem.findings[0]?.sentence ?? problem.title);
    this.name = 'ApiError';
    this.status = problem.status;
    this.title = problem.title;
    this.findings = problem.findings;
  }
}

/** True for a call that the page itself called off: nothing to show. */
export function calledOff(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}

/** Anything thrown, as findings for a {@link FindingList}. */
export function findingsOf(error: unknown): readonly Finding[] {
  if (error instanceof ApiError) {
    return error.findings.length > 0 ? error.findings : [own(error.title)];
  }
  return [own(t('api.page_fault'), error instanceof Error ? error.message : String(error))];
}

function own(sentence: string, cure = ''): Finding {
  return { code: '', severity: 'error', sentence, where: '', cure, in_german: null };
}

/** The address of a call, for links, pictures and downloads. */
export function address(path: string, options: Pick<Options, 'path' | 'query'> = {}): string {
  const filled = path.replace(/\{(\w+)\}/g, (_whole, name: string) => encodeURIComponent(String(options.path?.[name] ?? '')));
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(options.query ?? {})) {
    if (value !== null && value !== undefined && value !== '') query.set(name, String(value));
  }
  const tail = query.toString();
  return `${ROOT}${filled}${tail ? `?${tail}` : ''}`;
}

/** Where a picture of a plan is, its words in the person's language, its sizes in millimetres unless another `unit` is given. */
export function pictureOf(job: string, name: string, unit = ''): string {
  return address('/jobs/{id}/pictures/{name}', { path: { id: job, name }, query: { unit, language: settings.language === 'de' ? 'de' : '' } });
}

/** Read something. An unreachable or busy bench is asked again twice before it is told. */
export const get = <P extends string, A = Answer<P, 'get'>>(path: P, options: Options = {}): Promise<A> =>
  call<A>('get', path, options);
export const post = <P extends string, A = Answer<P, 'post'>>(path: P, options: Options = {}): Promise<A> =>
  call<A>('post', path, options);
export const put = <P extends string, A = Answer<P, 'put'>>(path: P, options: Options = {}): Promise<A> =>
  call<A>('put', path, options);
export const del = <P extends string, A = Answer<P, 'delete'>>(path: P, options: Options = {}): Promise<A> =>
  call<A>('delete', path, options);

const AGAIN_MS = [300, 1200];
const BUSY = new Set([502, 503, 504]);

async function call<A>(method: Method, path: string, options: Options): Promise<A> {
  const waits = method === 'get' ? AGAIN_MS : [];
  for (let turn = 0; ; turn += 1) {
    const wait = waits[turn];
    const answer = await once(method, path, options);
    if (answer && !(BUSY.has(answer.status) && wait !== undefined)) return read<A>(answer);
    if (wait === undefined) throw new ApiError(unreachable());
    await pause(wait, options.signal);
  }
}

/** One try; null where nobody answers. */
async function once(method: Method, path: string, options: Options): Promise<Response | null> {
  const form = options.body instanceof FormData;
  const headers: Record<string, string> = { Accept: 'application/json', 'Accept-Language': settings.language };
  const word = method === 'get' ? null : await checkWord(options.signal);
  if (word) headers[CHECK] = word;
  if (options.body !== undefined && !form) headers['Content-Type'] = 'application/json';
  try {
    return await fetch(address(path, options), {
      method: method.toUpperCase(),
      headers,
      body: options.body === undefined ? null : form ? (options.body as FormData) : JSON.stringify(options.body),
      signal: options.signal ?? null,
      credentials: 'same-origin',
    });
  } catch (error) {
    if (calledOff(error)) throw error;
    return null;
  }
}

const CHECK = 'X-Bendwright-Check';
const CHECK_REFUSED = 'B404';
let check: Promise<string | null> | undefined;

/** The word that shows the bench that a change comes from its own page; asked for once, null where none is needed. */
function checkWord(signal?: AbortSignal): Promise<string | null> {
  check ??= fetch(`${ROOT}/session`, { headers: { Accept: 'application/json' }, signal: signal ?? null })
    .then(async (answer) => (answer.ok ? (((await answer.json()) as { check?: string | null }).check ?? null) : null))
    .catch((error: unknown) => {
      check = undefined;
      if (calledOff(error)) throw error;
      return null;
    });
  return check;
}

/** After signing in or out the word is another one. */
export function forgetCheckWord(): void {
  check = undefined;
}

async function read<A>(answer: Response): Promise<A> {
  if (answer.status === 204) return undefined as A;
  let body: unknown;
  try {
    body = await answer.json();
  } catch {
    body = undefined;
  }
  learn(body);
  if (answer.ok && body !== undefined) return body as A;
  const error = new ApiError(asProblem(answer, body));
  if (error.status === 401) signInWanted?.();
  if (error.findings.some((one) => one.code === CHECK_REFUSED)) forgetCheckWord();
  throw error;
}

function asProblem(answer: Response, body: unknown): Problem {
  const given = (typeof body === 'object' && body !== null ? body : {}) as Partial<Problem>;
  const title = typeof given.title === 'string' ? given.title : t('api.refused', { status: String(answer.status) });
  return { title, status: answer.status, findings: Array.isArray(given.findings) ? given.findings : [own(title)] };
}

function unreachable(): Problem {
  const title = t('api.no_answer');
  return { title, status: 0, findings: [own(title, t('api.no_answer_cure'))] };
}

function pause(ms: number, signal?: AbortSignal): Promise<void> {
  return new Promise((done, stop) => {
    const late = setTimeout(done, ms);
    signal?.addEventListener('abort', () => {
      clearTimeout(late);
      stop(new DOMException('called off', 'AbortError'));
    });
  });
}

let signInWanted: (() => void) | undefined;
/** What to do when the bench asks who is there. */
export function onSignInWanted(act: () => void): void {
  signInWanted = act;
}
