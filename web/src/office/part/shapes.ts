/** Shapes of the part page, under short names. */
import type { components } from '../../api/schema';

type Schemas = components['schemas'];
export type Draft = Schemas['Draft'];
export type PartText = Schemas['PartText'];
export type Look = Schemas['Look'];
export type LookBend = Schemas['LookBend'];
export type LookLine = Schemas['LookLine'];
export type LookCut = Schemas['LookCut'];
export type Choices = Schemas['Choices'];
export type Json = string | number | boolean | null | Json[] | { [key: string]: Json | undefined };
export type Fields = { [key: string]: Json | undefined };
