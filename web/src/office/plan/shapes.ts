/** The plan's pages as the bench describes them, under short names; everything the bench sends is there. */
import type { components } from '../../api/schema';

/** The description leaves open what has a usual value; in answers all of it is written out. */
type Whole<T> = T extends [infer A, infer B]
  ? [A, B]
  : T extends (infer E)[]
    ? Whole<E>[]
    : T extends object
      ? { [K in keyof T]-?: Whole<Exclude<T[K], undefined>> }
      : T;
type Named = components['schemas'];

export type PlanPage = Whole<Named['PlanPage']>;
export type StrokeCard = PlanPage['strokes'][number];
export type PlacedFinding = PlanPage['findings'][number];
export type SpreadBar = NonNullable<PlanPage['doubt']>['bars'][number];
export type StrokePage = Whole<Named['StrokePage']>;
export type CheckShown = Whole<Named['CheckShown']>;
export type PlotShown = Whole<Named['Plot']>;
export type OrderPage = Whole<Named['OrderPage']>;
export type RefusalPage = Whole<Named['RefusalPage']>;
export type ComparePage = Whole<Named['ComparePage']>;
export type JobAsked = Whole<Named['JobAsked']>;
export type JobShown = Whole<Named['JobShown']>;
