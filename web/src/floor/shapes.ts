/** Shapes of the floor, as the bench describes them. */
import type { components } from '../api/schema';

type Schemas = components['schemas'];
export type FloorPlan = Schemas['FloorPlan'];
export type FloorPiece = Schemas['FloorPiece'];
export type FloorStroke = Schemas['FloorStroke'];
export type ReadingWords = Schemas['ReadingWords'];
export type ReadingKept = Schemas['ReadingKept'];
export type Corrections = Schemas['CorrectionsPage'];
export type Change = Schemas['Change'];
