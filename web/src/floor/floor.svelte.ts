/** What the screens share: the job's plan, entries, ticks, pieces made, corrections. All of it is kept on the tablet. */
import { ApiError, calledOff, get, onSignInWanted, put } from '../api/client';
import type { Finding, Shown } from '../api/shapes';
import { learn } from '../words/said';
import { stayAwake, type Awake } from './awake';
import { keepingIn, PLAN, writeLarge, writeSurely, type Keeping } from './keeping';
import { keepPage, type Offline } from './offline';
import { Outbox, type Answer, type Entry } from './outbox';
import type { Corrections, FloorPlan, FloorStroke, ReadingKept } from './shapes';

const PLANS_KEPT = 8;
const ANSWER_MS = 15_000;
const REFUSED = new Set([400, 404, 409, 413, 415, 422]);
/** The bench is there and cannot take this entry at the moment; 0, 401 and 503 concern all of them. */
const NOT_NOW = new Set([403, 408, 429, 500]);

interface KeptPlan {
  at: number;
  plan: FloorPlan;
}
interface KeptCorrections {
  at: number;
  page: Corrections;
}
/** What the tablet holds of one job besides the plan; ticks and pieces belong to the plan with this mark. */
interface Progress {
  mark: string;
  ticked: Record<string, true>;
  made: Record<number, number>;
  set: Record<number, { depth?: Shown; x?: Shown }>;
}

function ownStore(): Storage | undefined {
  try {
    return localStorage;
  } catch {
    return undefined;
  }
}

async function send(entry: Entry): Promise<Answer> {
  try {
    const kept = await put<'/jobs/{job_id}/readings/{reading_id}', ReadingKept>('/jobs/{job_id}/readings/{reading_id}', {
      path: { job_id: entry.job, reading_id: entry.id },
      body: entry.words,
      signal: AbortSignal.timeout(ANSWER_MS),
    });
    return { kept };
  } catch (error) {
    if (error instanceof ApiError && REFUSED.has(error.status)) return { refused: [...error.findings] };
    return error instanceof ApiError && NOT_NOW.has(error.status) ? 'not_now' : 'later';
  }
}

class Floor {
  plan: FloorPlan | undefined = $state.raw();
  /** 'kept': from the tablet, the bench does not answer · 'gone': the bench has this job no more · 'changed': it has another plan than the
      one ticked off */
  news: '' | 'kept' | 'gone' | 'changed' = $state('');
  findings: readonly Finding[] = $state.raw([]);
  busy = $state(false);
  /** The bench asks who is there; entries wait until somebody has signed in. */
  signIn = $state(false);
  entries: Entry[] = $state.raw([]);
  /** Entries of other jobs that are still to be sent. */
  elsewhere = $state(0);
  safe = $state(true);
  offline: Offline = $state('not_yet');
  awake: Awake = $state('not_here');
  progress: Progress = $state({ mark: '', ticked: {}, made: {}, set: {} });
  corrections: KeptCorrections | undefined = $state.raw();
  /** Readings the bench has from somewhere else: another tablet, or this one before it was cleared. */
  others: readonly ReadingKept[] = $state.raw([]);
  correctionFindings: readonly Finding[] = $state.raw([]);
  private job = '';
  private keeps = true;
  private readonly keeping: Keeping = keepingIn(ownStore());
  readonly outbox = new Outbox(this.keeping, send, () => this.look());

  constructor() {
    onSignInWanted(() => (this.signIn = true));
    addEventListener('online', () => this.outbox.wake());
    addEventListener('pageshow', () => this.outbox.wake());
    document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && this.outbox.wake());
    addEventListener('storage', (event) => event.key?.startsWith('bendwright.floor.') && this.outbox.heard(event.key.slice('bendwright.floor.'.length)));
    this.keeps = this.keeping.write('trial', 1);
    this.keeping.drop('trial');
    this.outbox.start();
    this.look();
    void keepPage().then((state) => (this.offline = state));
    stayAwake((state) => (this.awake = state));
  }

  /** Open a job: at once from the tablet if it is there, then from the bench. */
  open(job: string): void {
    if (job === this.job) return;
    this.job = job;
    this.plan = undefined;
    this.news = '';
    this.others = [];
    this.corrections = this.keeping.read<KeptCorrections>(`corrections.${job}`);
    this.progress = this.keeping.read<Progress>(`progress.${job}`) ?? { mark: '', ticked: {}, made: {}, set: {} };
    const kept = this.keeping.read<KeptPlan>(PLAN + job);
    learn(this.corrections?.page);
    learn(kept?.plan);
    if (kept?.plan?.strokes) this.plan = kept.plan;
    this.look();
    void this.ask();
  }

  async ask(): Promise<void> {
    const job = this.job;
    this.busy = true;
    this.findings = [];
    try {
      const plan = await get<'/jobs/{job_id}/floor', FloorPlan>('/jobs/{job_id}/floor', { path: { job_id: job }, signal: AbortSignal.timeout(2 * ANSWER_MS) });
      if (job !== this.job) return;
      this.signIn = false;
      const before = this.progress.mark;
      if (before !== plan.mark) {
        this.progress = { mark: plan.mark, ticked: {}, made: {}, set: {} };
        this.write();
      }
      this.news = before !== '' && before !== plan.mark ? 'changed' : '';
      this.plan = plan;
      writeLarge<KeptPlan>(this.keeping, PLAN, job, { at: Date.now(), plan }, PLANS_KEPT);
    } catch (error) {
      if (job !== this.job || calledOff(error)) return;
      if (this.plan) this.news = error instanceof ApiError && error.status === 404 ? 'gone' : 'kept';
      else this.findings = error instanceof ApiError ? error.findings : [{ code: '', severity: 'error', sentence: String(error), where: '', cure: '', in_german: null }];
    } finally {
      this.busy = false;
    }
  }

  async askReadings(): Promise<void> {
    const job = this.job;
    try {
      const all = await get<'/jobs/{job_id}/readings', ReadingKept[]>('/jobs/{job_id}/readings', { path: { job_id: job }, signal: AbortSignal.timeout(ANSWER_MS) });
      if (job === this.job) this.others = all.filter((one) => !this.outbox.entries.has(one.id));
    } catch {
      // without the bench nothing is known of others
    }
  }

  async askCorrections(): Promise<void> {
    const job = this.job;
    await this.outbox.flush();
    try {
      const page = await get<'/jobs/{job_id}/corrections', Corrections>('/jobs/{job_id}/corrections', { path: { job_id: job }, signal: AbortSignal.timeout(2 * ANSWER_MS) });
      if (job !== this.job) return;
      this.corrections = { at: Date.now(), page };
      this.correctionFindings = [];
      this.keeping.write(`corrections.${job}`, this.corrections);
    } catch (error) {
      if (job === this.job && error instanceof ApiError) this.correctionFindings = error.findings;
    }
  }

  tick(key: string): void {
    if (this.progress.ticked[key]) delete this.progress.ticked[key];
    else this.progress.ticked[key] = true;
    this.write();
  }

  /** One piece more (or less) has gone through the strokes of a set-up. */
  made(setUp: number, change: 1 | -1): void {
    this.progress.made[setUp] = Math.max(0, (this.progress.made[setUp] ?? 0) + change);
    this.write();
  }

  /** The person set a corrected number at the brake, or took that back: from now on the screens show it. */
  set(stroke: number, what: 'depth' | 'x', value: Shown | undefined): void {
    const before = this.progress.set[stroke] ?? {};
    this.progress.set[stroke] = { ...before, [what]: value };
    this.write();
  }

  stroke(number: number): FloorStroke | undefined {
    return this.plan?.strokes.find((one) => one.number === number);
  }

  private look(): void {
    this.entries = this.outbox.of(this.job);
    this.elsewhere = this.outbox.elsewhere(this.job);
    this.safe = this.keeps && this.outbox.safe;
  }

  private write(): void {
    this.keeps = writeSurely(this.keeping, `progress.${this.job}`, this.progress);
    this.look();
  }
}

export const floor = new Floor();
