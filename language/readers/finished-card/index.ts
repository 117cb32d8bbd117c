export type { FinishedCard } from './card.js';
export { type Contents, contentsOf, contentsWithoutPage } from './contents.js';
export { finishedCard } from './finished-card.js';
export { openAt } from './open.js';
export { caution } from './words.js';
