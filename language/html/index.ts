export { renderEquipmentSheet } from './equipment-sheet.js';
export { renderFinishedCard } from './finished-card.js';
export { renderIndex } from './index-page.js';
