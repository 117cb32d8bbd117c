import type { Check } from '../check.js';
import { breakerExceedsWire } from './breaker-exceeds-wire/breaker-exceeds-wire.js';
import { feedsItself } from './feeds-itself/feeds-itself.js';
import { movesTwoWays } from './moves-two-ways/moves-two-ways.js';
import { nothingDepends } from './nothing-depends/nothing-depends.js';
import { stateNeverReached } from './state-never-reached/state-never-reached.js';

export const equipmentChecks: readonly Check[] = [
    feedsItself,
    movesTwoWays,
    stateNeverReached,
    nothingDepends,
    breakerExceedsWire,
];
