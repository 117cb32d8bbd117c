/** Where things are used, against a slow search for words in the texts. */
import { globSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseProject } from '../../../language/names/project.js';
import { allThings, thingsNamed, whereUsed } from '../../../language/names/where-used.js';

const northlight = globSync('examples/northlight/**/*.cotter').map(path => ({
    path,
    text: readFileSync(path, 'utf8'),
}));

/** Comments blank, and texts blank but for what stands in brackets. */
function code(text: string): string {
    const blank = (part: string) => part.replace(/[^\r\n]/g, ' ');
    return text.replace(/\/\/.*|\/\*[\s\S]*?\*\/|"(?:\\.|[^"\\\r\n])*"/g, part =>
        part.startsWith('"')
            ? part.replace(/\[\s*[\w-]+\s*\]|[^[]+|\[/g, piece => (piece.startsWith('[') ? piece : blank(piece)))
            : blank(part),
    );
}

test('every word of the examples that is a name stands once among the places where the thing is declared or used', () => {
    const project = parseProject(northlight);
    const things = [...allThings(project)];
    const byName = Map.groupBy(things, each => each.name);
    // Positions are words too, and names of steps and rules stand apart from those of things.
    const states = new Set(
        northlight.flatMap(({ text }) =>
            [...text.matchAll(/\b(?:is|to|at|positions|or|shows|goes|normal|,) +([\w-]+)/g)].map(([, word]) => word),
        ),
    );
    let compared = 0;
    for (const [name, those] of byName) {
        const [thing] = those;
        if (those.length > 1 || /^(step|test|rule)$/.test(thing.what) || states.has(name) || /^[a-z]+$/.test(name))
            continue;
        const written = northlight.flatMap(({ path, text }) =>
            [...code(text).matchAll(new RegExp(`(?<![\\w-])${name}(?![\\w-])`, 'g'))].map(
                ({ index }) => `${path} ${index}`,
            ),
        );
        const uses = whereUsed(project, thing).filter(({ via }) => via.length === 0);
        const places = new Set(uses.map(({ span }) => `${span.file} ${span.offset}`));
        expect(places.size, name).toBe(written.length - thing.nodes.length);
        for (const place of places) expect(written, name).toContain(place);
        compared++;
    }
    expect(compared).toBeGreaterThan(60);
});

const text = `equipment E "E" {
  place P "P"
  breaker CB-1 "ONE" at P grid "A1" rated 5 A
  breaker CB-2 "TWO" at P grid "A2" rated 5 A
  light LT "LT" at P from CB-1 { shows ON when CB-1 is CLOSED  shows OFF otherwise }
  rule hands: before pull CB-2 require CB-1 is PULLED because "[CB-1] first."
}
subtask Inner "inner" (breaker it, role who) uses E { who: pull it and tag who: close it }
subtask Outer "outer" (breaker one, role by) uses E { do Inner(one, by) }
card T1 "t1" {
  uses E
  role tech "Technician" at P
  step s "s" {
    do Outer(CB-1, tech)
    for each x in CB-1, CB-2 { do Inner(x, tech) }
    tech: "Look at [CB-1]."
  }
}
card T2 "t2" { uses E role tech "Technician" at P step s "s" { do T1 } }
`;

test('through calls inside calls, loops and texts', () => {
    const project = parseProject([{ path: 'a', text }]);
    const [thing] = thingsNamed(project, 'CB-1');
    const said = whereUsed(project, thing).map(
        ({ in: owner, within, how, via, cards }) =>
            `${owner.name} ${within?.name ?? '-'} ${how} ${via.map(each => each.as).join('>')} ${cards.join('+')}`,
    );
    expect(said).toEqual([
        'E LT from  ',
        'E LT condition  ',
        'E hands condition  ',
        'E hands text  ',
        'Inner - pull one>it T1+T2',
        'Inner - pull x>it T1+T2',
        'Inner - close one>it T1+T2',
        'Inner - close x>it T1+T2',
        'Outer - argument one T1+T2',
        'T1 s argument  T1+T2',
        'T1 s argument  T1+T2',
        'T1 s argument x T1+T2',
        'T1 s text  T1+T2',
    ]);
});

test('names of several owners are several things', () => {
    const project = parseProject([{ path: 'a', text }]);
    expect(thingsNamed(project, 'tech').map(each => each.owner)).toEqual(['T1', 'T2']);
    expect(thingsNamed(project, 'T2.tech')).toHaveLength(1);
    const [t1] = thingsNamed(project, 'T1');
    expect(whereUsed(project, t1).map(({ how, in: owner }) => `${how} ${owner.name}`)).toEqual(['do T2']);
});

test('subtasks that call each other in a ring end', () => {
    const ring = 'subtask A "a" (breaker x) { do B(x) } subtask B "b" (breaker y) { do A(y) }';
    const project = parseProject([{ path: 'a', text: ring }]);
    const [thing] = thingsNamed(project, 'A.x');
    expect(whereUsed(project, thing).length).toBeLessThan(10);
});

test('broken texts do no harm', () => {
    for (let end = 0; end < text.length; end += 17) {
        const project = parseProject([{ path: 'a', text: text.slice(0, end) }]);
        for (const thing of allThings(project)) expect(() => whereUsed(project, thing)).not.toThrow();
    }
});
