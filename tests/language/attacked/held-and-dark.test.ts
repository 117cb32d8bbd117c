/** What holds things that are opened or parted, and lamps that are dark whatever their text says. */
import { describe, expect, test } from 'vitest';
import { drawn, saidOf } from './drawn.js';

const held = `lock WIRE "lockwire" at FD holds J, DR
unit U "unit" at FD
connector J "plug" in U
door DR "door" at FD`;
const done = (lines: string): string => drawn(held, `step s "s" { ${lines} }`);

describe('what holds a plug or a door', () => {
    test('is off before it is parted or opened', () => {
        expect(done('deck: disconnect J deck: connect J')).toBe('needs-first findings');
        expect(done('deck: open DR deck: close DR')).toBe('needs-first findings');
        expect(
            done(
                'deck: remove WIRE deck: disconnect J deck: connect J deck: open DR deck: close DR deck: install WIRE',
            ),
        ).toBe('clean');
    });
    test('goes on when it is made or closed again', () => {
        const lines = 'deck: remove WIRE deck: open DR deck: install WIRE deck: close DR';
        expect(done(lines)).toBe('needs-first findings');
        expect(saidOf('needs-first', held, `step s "s" { ${lines} }`)[0]).toContain(
            'while DR (door), which it holds, is open. Close that first.',
        );
    });
});

describe('a lamp without supply', () => {
    const lamp = `breaker CB "LAMP" at FD
control SW "SW" at FD positions OFF, ON
light FAIL "FAIL" at FD from CB { shows OFF when SW is ON  shows ON otherwise }`;
    test('is not seen to be lit, whatever it shows otherwise', () => {
        expect(drawn(lamp, 'step s "s" { deck: pull CB and tag deck: see FAIL is ON deck: close CB }')).toBe(
            'cannot-be-seen findings',
        );
        expect(drawn(lamp, 'step s "s" { deck: see FAIL is ON }')).toBe('clean');
    });
});
