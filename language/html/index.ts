export { renderEquipmentSheet } from './equipment-sheet.js';
export { type Beside, renderFinishedCard } from './finished-card.js';
export { renderIndex } from './index-page.js';
export { renderOpenHere } from './open-here.js';
