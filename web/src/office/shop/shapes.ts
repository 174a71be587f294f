/** Shapes of the shop page, under short names. */
import type { components } from '../../api/schema';

type Schemas = components['schemas'];
export type ShopPage = Schemas['ShopPage'];
export type RecordShown = Schemas['RecordShown'];
export type PieceShown = Schemas['PieceShown'];
export type FieldAsked = Schemas['FieldAsked'];
export type FieldShown = Schemas['FieldShown'];
export type FormAsked = Schemas['FormAsked'];
export type TablePage = Schemas['TablePage'];
export type ProfileRead = Schemas['ProfileRead'];
export type MaterialShown = Schemas['MaterialShown'];
/** The records that have a tab of their own kind: chosen, looked at, changed. */
export type RecordKind = Exclude<FormAsked['kind'], 'materials' | 'practice' | 'bend_table'>;
/** What a refused job may need of the shop first: a record of one of these kinds. */
export const FORM_KINDS: readonly FilledKind[] = ['punches', 'dies', 'brakes'];
export type FilledKind = Schemas['ShopFill']['kind'];
export type ToolKind = Exclude<RecordKind, 'brakes'>;
export type Texts = Record<string, string>;
/** Mm on the screen for each mm of a tool in the cabinet. */
export const CABINET_SCALE = 0.4;
