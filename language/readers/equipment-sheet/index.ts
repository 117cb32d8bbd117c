export { type SheetContents, sheetContentsOf, sheetContentsWithoutPage } from './contents.js';
export { equipmentSheet, othersOf } from './equipment-sheet.js';
export type * from './sheet.js';
