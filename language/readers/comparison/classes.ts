import type { Class, Kind } from './comparison.js';

/** From what weighs most to what weighs least: the order in which changes are told. */
export const kinds: readonly Kind[] = [
    'hold',
    'warning',
    'wait',
    'breaker',
    'isolation',
    'indication',
    'limit',
    'torque',
    'rule',
    'behaviour',
    'role',
    'told',
    'order',
    'work',
    'record',
    'wording',
];

export const classOf = (kind: Kind): Class =>
    kind === 'work' || kind === 'record' || kind === 'wording' ? kind : 'safety';

export const gravest = (all: readonly Kind[]): Kind => kinds.find(kind => all.includes(kind)) ?? 'work';
