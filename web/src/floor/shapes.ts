/** Shapes of the floor, as the bench describes them; numbers under the name all pages use. */
import type { components } from '../api/schema';
import type { Finding, Shown } from '../api/shapes';

type Schemas = components['schemas'];
type Named<T> = T extends Schemas['Shown'] ? Shown : T extends Schemas['FindingShown'] ? Finding : T extends object ? { [K in keyof T]: Named<T[K]> } : T;
export type FloorPlan = Named<Schemas['FloorPlan']>;
export type FloorSetUp = Named<Schemas['FloorSetUp']>;
export type FloorPiece = Named<Schemas['FloorPiece']>;
export type FloorStroke = Named<Schemas['FloorStroke']>;
export type ReadingWords = Schemas['ReadingWords'];
export type ReadingKept = Named<Schemas['ReadingKept']>;
export type Corrections = Named<Schemas['CorrectionsPage']>;
export type Change = Named<Schemas['Change']>;
