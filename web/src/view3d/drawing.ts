/** All that needs three, as one piece to be fetched when first needed. */
export { Film, pieceOf } from './film';
export { Folded } from './folded';
export { Stage } from './stage';
