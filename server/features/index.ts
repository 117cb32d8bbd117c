import type { Feature } from './feature.js';
import { findings } from './findings.js';

/** Everything the server can do, one file each. */
export const features: readonly Feature[] = [findings];
