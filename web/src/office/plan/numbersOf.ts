/** The numbers of a stroke as they stand in the row of a table, each with its name. */
import type { Named } from '../../ui/Origins.svelte';
import { t } from '../../words/words';
import type { StrokeCard } from './shapes';

export const numbersOf = (card: StrokeCard): Named[] => [
  { name: 'X', shown: card.x },
  { name: 'R', shown: card.r },
  { name: t('plan.depth'), shown: card.depth },
  { name: t('plan.angle_after'), shown: card.angle_after },
  { name: t('plan.angle_under'), shown: card.angle_under },
  { name: t('plan.force'), shown: card.force },
  ...(card.near.nothing ? [] : [{ name: t('plan.near'), shown: card.near.distance }]),
];
