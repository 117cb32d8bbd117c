/** By kind of change, the codes one of which must answer. */
import type { Kind } from './mutants.js';

/** The order of acts, or what they are done to, can break anything. */
const anything = undefined;

const notProved = ['test-not-isolated', 'expectation-contradicted'];

export const expected: Readonly<Record<Kind, readonly string[] | undefined>> = {
    'drop a close': ['breaker-left-pulled', 'left-open', 'rule-broken', ...notProved],
    'drop a pull': ['not-isolated', 'worked-on-live', 'rule-broken', ...notProved],
    'drop an ensure': ['not-isolated', 'worked-on-live', 'rule-broken', 'control-not-returned', ...notProved],
    'drop a tag': ['untagged-at-stop'],
    'drop a wait': ['wait-too-short', 'rest-too-short', 'rule-broken', ...notProved],
    'shorten a wait': ['wait-too-short', 'rest-too-short', 'rule-broken', 'not-proved-dead', ...notProved],
    'drop a tell': ['not-told'],
    'drop a connect': ['left-disconnected', 'rule-broken', ...notProved],
    'drop a disconnect': ['needs-first', 'left-connected', 'rule-broken'],
    'drop an install': ['left-removed', 'left-installed', ...notProved],
    'drop a remove': [
        'needs-first',
        'role-not-there',
        'cannot-be-seen',
        'left-applied',
        'hold-too-late',
        'rule-broken',
        'wait-too-short',
    ],
    'drop an open': ['rule-broken', 'role-not-there', 'cannot-be-seen', 'opened-under-pressure', ...notProved],
    'drop a clean': ['left-wet', 'expectation-contradicted'],
    'drop an apply': notProved,
    'drop a set': [
        'control-not-returned',
        'not-told',
        'rule-broken',
        'wait-too-short',
        'not-isolated',
        'left-moved',
        // It was what the trial tried.
        'not-proved-dead',
        ...notProved,
    ],
    'drop a press': ['expectation-contradicted', 'left-moved', 'rule-broken'],
    'drop a keep': notProved,
    // The look passed the time that the next thing needs.
    'drop a look': ['not-told', 'not-proved-dead', ...notProved],
    'swap neighbours': anything,
    'swap arguments': anything,
    'drop an alert': ['alert-after-action'],
    'reverse a range': ['range-reversed'],
    'rate a breaker higher': ['breaker-exceeds-wire'],
    'drop a torque': ['not-torqued'],
    'drop a spare': ['spare-not-used', 'seal-not-renewed'],
    'move a hold': ['hold-too-late', 'hold-too-early', 'inspector-not-independent'],
};
