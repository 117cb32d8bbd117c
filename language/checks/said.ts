export { calledFrom, lineOf } from '../findings/phrases.js';
