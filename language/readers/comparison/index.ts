export { type Compared, compare } from './compare.js';
export type {
    CardComparison,
    Change,
    Class,
    Comparison,
    Consequence,
    Guard,
    How,
    Kind,
    Marks,
    Sides,
    Verdict,
} from './comparison.js';
export { placeOf } from './marks.js';
export { type Since, sinceOf } from './since.js';
export { kindWords } from './verdict.js';
