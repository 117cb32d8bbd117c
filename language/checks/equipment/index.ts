import type { Check } from '../check.js';
import { feedsItself } from './feeds-itself/feeds-itself.js';
import { movesTwoWays } from './moves-two-ways/moves-two-ways.js';

export const equipmentChecks: readonly Check[] = [feedsItself, movesTwoWays];
