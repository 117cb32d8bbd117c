import { nameAndLabel } from '../../../machine/compile-conditions.js';
import { largestBreaker, thinnestWire } from '../../../vocabulary/wire.js';
import type { Check } from '../../check.js';

/** A breaker that lets through more than its wire bears. */
export const breakerExceedsWire: Check = {
    code: 'breaker-exceeds-wire',
    family: 'equipment',
    severity: 'warning',
    title: 'A breaker is rated for more than its wire bears',
    ofEquipment: (machine, { equipment }) =>
        machine.items.flatMap(item => {
            const { rated, wire } = item;
            const most = wire && largestBreaker(wire.gauge);
            if (item.equipment !== equipment || !rated || !wire || most === undefined || rated.amperes <= most)
                return [];
            const gauge = thinnestWire(rated.amperes);
            return [
                {
                    code: 'breaker-exceeds-wire',
                    severity: 'warning',
                    span: item.span,
                    about: [item.name],
                    message: `${nameAndLabel(item)} is rated ${rated.text}, and a copper wire of ${wire.text} is protected by ${most} A at most.${gauge === undefined ? ' No wire of the table bears as much.' : ` ${rated.text} asks for ${gauge} AWG or thicker.`} One of the two is wrong.`,
                    related: [],
                    fixes: [],
                    cause: item.name,
                },
            ];
        }),
};
