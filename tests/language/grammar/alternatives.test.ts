import { describe, expect, test } from 'vitest';
import { CotterTerminals, reflection } from '../../../language/grammar/generated/ast.js';
import { createServices, parseText } from '../../../language/grammar/parse.js';
import { kinds } from '../../../language/vocabulary/kinds/index.js';
import { type ContextName, parseIn } from './contexts.js';
import { shape } from './shape.js';

/** A fragment for every alternative of the grammar, and the tree that it is. */
const alternatives: Readonly<Record<ContextName, readonly (readonly [fragment: string, tree: string])[]>> = {
    declaration: [
        ['modification M1 "one"', 'Modification(label=one name=M1)'],
        [
            'modification M2 "two" after M1, M3 not with M4, M5',
            'Modification(after=[@M1, @M3] label=two name=M2 notWith=[@M4, @M5])',
        ],
        ['modification M2 "two" after M1, not with M3', 'Modification(after=[@M1] label=two name=M2 notWith=[@M3])'],
        ['equipment E "e" {}', 'Equipment(label=e name=E)'],
        ['equipment E "e" uses A, B {}', 'Equipment(label=e name=E uses=[@A, @B])'],
        ['subtask S "s" {}', 'Subtask(label=s name=S)'],
        ['subtask S "s" () {}', 'Subtask(label=s name=S)'],
        [
            'subtask S "s" (breaker own, role r, tool t, position p) uses A, B { wait 1 s }',
            'Subtask(label=s name=S parameters=[Parameter(kind=breaker name=own), Parameter(kind=role name=r), Parameter(kind=tool name=t), Parameter(kind=position name=p)] statements=[Wait(time=Quantity(unit=s value=1))] uses=[@A, @B])',
        ],
        ['card C "c" {}', 'Card(label=c name=C)'],
        ['exercise X "x" on C {}', 'Exercise(card=@C label=x name=X)'],
    ],
    'equipment part': [
        ['place P "p"', 'Place(label=p name=P)'],
        ['place P "p" in Q', 'Place(label=p name=P within=@Q)'],
        ['place P "p" at Q behind A, B', 'Place(behind=[@A, @B] label=p name=P within=@Q)'],
        ['breaker CB "cb"', 'Item(kind=breaker label=cb name=CB)'],
        ['unit U "u" {}', 'Item(kind=unit label=u name=U)'],
        ['pair A, B', 'Pair(items=[@A, @B])'],
        ['fails "f" as A is DEAD', 'OwnFailure(failure=Fails(item=@A label=f state=DEAD))'],
        [
            'fails "f" as G is 0 to 200 psi when A',
            'OwnFailure(failure=Fails(band=Limits(high=200 low=0 unit=psi) item=@G label=f when=ItemCondition(item=@A)))',
        ],
        ['where M { place P "p" }', 'WhereParts(modification=@M parts=[Place(label=p name=P)])'],
        [
            'where M { place P "p" } otherwise { place Q "q" }',
            'WhereParts(modification=@M otherwise=[Place(label=q name=Q)] parts=[Place(label=p name=P)])',
        ],
        ['rule r: never A is ON', 'Rule(body=NeverRule(never=ItemCondition(item=@A state=ON)) name=r)'],
        [
            'rule r: never A because "Hot [A]."',
            'Rule(because=Text(parts=["Hot ", .] refs=[@A]) body=NeverRule(never=ItemCondition(item=@A)) name=r)',
        ],
        [
            'rule r: while A require B',
            'Rule(body=WhileRule(require=ItemCondition(item=@B) when=ItemCondition(item=@A)) name=r)',
        ],
        ['rule r: to test A require B', 'Rule(body=TestRule(item=@A require=ItemCondition(item=@B)) name=r)'],
        [
            'rule r: at end of test A require B',
            'Rule(body=EndOfTestRule(item=@A require=ItemCondition(item=@B)) name=r)',
        ],
        ['rule r: keep A at most 30 s', 'Rule(body=KeepRule(atMost=Quantity(unit=s value=30) item=@A) name=r)'],
        [
            'rule r: keep A at ON at most 30 s then rest 60 s',
            'Rule(body=KeepRule(atMost=Quantity(unit=s value=30) item=@A rest=Quantity(unit=s value=60) state=ON) name=r)',
        ],
        [
            'rule r: keep A at most 30 s then rest 60 s, after 2 times rest 3 min',
            'Rule(body=KeepRule(atMost=Quantity(unit=s value=30) item=@A longRest=Quantity(unit=min value=3) rest=Quantity(unit=s value=60) times=2) name=r)',
        ],
        [
            'rule r: before work on A require B',
            'Rule(body=BeforeRule(require=ItemCondition(item=@B) triggers=[WorkTrigger(item=@A)]) name=r)',
        ],
        [
            'rule r: before A moves require B',
            'Rule(body=BeforeRule(require=ItemCondition(item=@B) triggers=[MovesTrigger(item=@A)]) name=r)',
        ],
        [
            'rule r: before set A, press B, pull C, close D, open E, disconnect F, connect G, remove H, install I, clean J, apply K, torque L, measure M require N',
            'Rule(body=BeforeRule(require=ItemCondition(item=@N) triggers=[VerbTrigger(item=@A verb=set), VerbTrigger(item=@B verb=press), VerbTrigger(item=@C verb=pull), VerbTrigger(item=@D verb=close), VerbTrigger(item=@E verb=open), VerbTrigger(item=@F verb=disconnect), VerbTrigger(item=@G verb=connect), VerbTrigger(item=@H verb=remove), VerbTrigger(item=@I verb=install), VerbTrigger(item=@J verb=clean), VerbTrigger(item=@K verb=apply), VerbTrigger(item=@L verb=torque), VerbTrigger(item=@M verb=measure)]) name=r)',
        ],
    ],
    clause: [
        ['at P', 'AtClause(place=@P)'],
        ['in U', 'InClause(unit=@U)'],
        ['positions OFF, 1, 2', 'PositionsClause(states=[OFF, 1, 2])'],
        ['normal ON', 'NormalClause(state=ON)'],
        ['normal 1', 'NormalClause(state=1)'],
        ['grid "C7"', 'GridClause(text=C7)'],
        ['thread "1/4-28"', 'ThreadClause(text="1/4-28")'],
        ['from A, B', 'FromClause(feeds=[@A, @B])'],
        ['rated 5 A', 'RatedClause(quantity=Quantity(unit=A value=5))'],
        ['wire 22 AWG', 'WireClause(quantity=Quantity(unit=AWG value=22))'],
        ['torque 4.2 to 4.8 N·m', 'TorqueClause(limits=Limits(high=4.8 low=4.2 unit=N·m))'],
        ['keyed', 'KeyedClause(keyed)'],
        ['inspected', 'InspectedClause(inspected)'],
        ['carries S', 'CarriesClause(source=@S)'],
        ['wets A', 'WetsClause(area=@A)'],
        ['holds A, B', 'HoldsClause(items=[@A, @B])'],
        ['live when A', 'LiveClause(when=ItemCondition(item=@A))'],
        ['measured "gap" 23 to 25 deg', 'MeasuredClause(limits=Limits(high=25 low=23 unit=deg) what=gap)'],
    ],
    member: [
        ['goes SHUT when A', 'Goes(state=SHUT when=ItemCondition(item=@A))'],
        ['goes SHUT in 4 s when A', 'Goes(state=SHUT time=Limits(low=4 unit=s) when=ItemCondition(item=@A))'],
        [
            'goes OPEN in 55 to 65 s when A',
            'Goes(state=OPEN time=Limits(high=65 low=55 unit=s) when=ItemCondition(item=@A))',
        ],
        ['goes CLOSED otherwise', 'Goes(state=CLOSED)'],
        ['shows ON when A', 'Shows(state=ON when=ItemCondition(item=@A))'],
        ['shows OFF otherwise', 'Shows(state=OFF)'],
        [
            'shows 2,900 to 3,100 psi when A',
            'Shows(band=Limits(high=3,100 low=2,900 unit=psi) when=ItemCondition(item=@A))',
        ],
        ['shows 0 psi otherwise', 'Shows(band=Limits(low=0 unit=psi))'],
        ['fails "f" as V is SHUT when A', 'Fails(item=@V label=f state=SHUT when=ItemCondition(item=@A))'],
    ],
    condition: [
        ['A', 'ItemCondition(item=@A)'],
        ['A is ON', 'ItemCondition(item=@A state=ON)'],
        ['A is 1 for at least 5 s', 'ItemCondition(atLeast=Quantity(unit=s value=5) item=@A state=1)'],
        ['not A', 'NotCondition(operand=ItemCondition(item=@A))'],
        [
            'A and B and C',
            'AndCondition(operands=[ItemCondition(item=@A), ItemCondition(item=@B), ItemCondition(item=@C)])',
        ],
        [
            'A or B or C',
            'OrCondition(operands=[ItemCondition(item=@A), ItemCondition(item=@B), ItemCondition(item=@C)])',
        ],
        [
            'A or B and not C',
            'OrCondition(operands=[ItemCondition(item=@A), AndCondition(operands=[ItemCondition(item=@B), NotCondition(operand=ItemCondition(item=@C))])])',
        ],
        [
            '(A or B) and C',
            'AndCondition(operands=[OrCondition(operands=[ItemCondition(item=@A), ItemCondition(item=@B)]), ItemCondition(item=@C)])',
        ],
        ['told P from Q', 'ToldCondition(from=@Q to=@P)'],
        ['told P from Q once for each test', 'ToldCondition(from=@Q onceForEachTest to=@P)'],
        ['someone at P', 'PeopleCondition(place=@P who=someone)'],
        ['nobody at P', 'PeopleCondition(place=@P who=nobody)'],
    ],
    'card part': [
        ['uses A, B', 'UsesPart(equipment=[@A, @B])'],
        ['applies to "all"', 'AppliesPart(text=all)'],
        ['revision "3"', 'RevisionPart(revision=3)'],
        ['revision "3" dated "2026-10-01"', 'RevisionPart(dated=2026-10-01 revision=3)'],
        ['role r "r"', 'Role(label=r name=r)'],
        ['role r "r" at P independent of a, b', 'Role(independentOf=[@a, @b] label=r name=r place=@P)'],
        ['tool t "t"', 'Tool(label=t name=t)'],
        ['tool t "t" range 2 to 12 N·m', 'Tool(label=t name=t range=Limits(high=12 low=2 unit=N·m))'],
        ['spare s "s"', 'Spare(label=s name=s)'],
        ['spare s "s" part "p" for A, B quantity 2', 'Spare(forItems=[@A, @B] label=s name=s part=p quantity=2)'],
        ['material m "m"', 'Material(label=m name=m)'],
        [
            'start with A is ON, B is OFF or 1, C is ON for at least 5 min',
            'StartPart(settings=[Setting(item=@A states=[ON]), Setting(item=@B states=[OFF, 1]), Setting(atLeast=Quantity(unit=min value=5) item=@C states=[ON])])',
        ],
        ['finish with A is ON', 'FinishPart(settings=[Setting(item=@A states=[ON])])'],
        ['after C', 'AfterPart(card=@C)'],
        ['step s "s" {}', 'Step(kind=step label=s name=s)'],
        [
            'step s "s" takes 5 min { wait 1 s }',
            'Step(kind=step label=s name=s statements=[Wait(time=Quantity(unit=s value=1))] takes=Quantity(unit=min value=5))',
        ],
        [
            'test s "s" of A, B takes 5 min {}',
            'Step(kind=test label=s name=s of=[@A, @B] takes=Quantity(unit=min value=5))',
        ],
        ['where M { uses A }', 'WhereCard(modification=@M parts=[UsesPart(equipment=[@A])])'],
        [
            'where M { uses A } otherwise { uses B }',
            'WhereCard(modification=@M otherwise=[UsesPart(equipment=[@B])] parts=[UsesPart(equipment=[@A])])',
        ],
        ['accept left-open because "x"', 'Accept(because=Text(parts=[x]) code=left-open)'],
        ['accept left-open for A because "x"', 'Accept(because=Text(parts=[x]) code=left-open forItem=@A)'],
        ['warning "w"', 'Alert(kind=warning text=Text(parts=[w]))'],
        ['caution "c"', 'Alert(kind=caution text=Text(parts=[c]))'],
        ['note "n"', 'Alert(kind=note text=Text(parts=[n]))'],
    ],
    statement: [
        ['r: pull A', 'Act(action=Operate(items=[@A] verb=pull) actor=@r)'],
        ['r : "x"', 'Act(action=Prose(text=Text(parts=[x])) actor=@r)'],
        ['warning "w [A]."', 'Alert(kind=warning text=Text(parts=["w ", .] refs=[@A]))'],
        ['caution "c"', 'Alert(kind=caution text=Text(parts=[c]))'],
        ['note "n"', 'Alert(kind=note text=Text(parts=[n]))'],
        ['hold for r "h [A] and [B]"', 'Hold(role=@r text=Text(parts=["h ", " and ", ""] refs=[@A, @B]))'],
        ['wait 90 s', 'Wait(time=Quantity(unit=s value=90))'],
        ['do S', 'Do(callee=@S)'],
        ['do S()', 'Do(callee=@S)'],
        ['do S(A, 1, r)', 'Do(args=[Argument(name=A), Argument(name=1), Argument(name=r)] callee=@S)'],
        ['if r sees A is ON {}', 'If(item=@A role=@r state=ON then=Block())'],
        [
            'if r sees A is ON { wait 1 s } otherwise { wait 2 s }',
            'If(item=@A otherwise=Block(statements=[Wait(time=Quantity(unit=s value=2))]) role=@r state=ON then=Block(statements=[Wait(time=Quantity(unit=s value=1))]))',
        ],
        [
            'for each a in A, B { wait 1 s }',
            'ForEach(body=Block(statements=[Wait(time=Quantity(unit=s value=1))]) names=[LoopName(name=a)] rows=[Row(args=[Argument(name=A)]), Row(args=[Argument(name=B)])])',
        ],
        [
            'for each (a, b) in (A, B), (C, 1) { wait 1 s }',
            'ForEach(body=Block(statements=[Wait(time=Quantity(unit=s value=1))]) names=[LoopName(name=a), LoopName(name=b)] rows=[Row(args=[Argument(name=A), Argument(name=B)]), Row(args=[Argument(name=C), Argument(name=1)])])',
        ],
        [
            'where M { wait 1 s }',
            'WhereStatements(modification=@M then=Block(statements=[Wait(time=Quantity(unit=s value=1))]))',
        ],
        [
            'where M { wait 1 s } otherwise { wait 2 s }',
            'WhereStatements(modification=@M otherwise=Block(statements=[Wait(time=Quantity(unit=s value=2))]) then=Block(statements=[Wait(time=Quantity(unit=s value=1))]))',
        ],
        ['stop "s"', 'Stop(text=Text(parts=[s]))'],
        ['leave for C', 'LeaveFor(card=@C)'],
        ['repeat step s at most 3 times', 'Repeat(step=@s times=3)'],
        ['accept not-told because "x"', 'Accept(because=Text(parts=[x]) code=not-told)'],
    ],
    action: [
        ['pull A', 'Operate(items=[@A] verb=pull)'],
        ['close A, B', 'Operate(items=[@A, @B] verb=close)'],
        ['open A', 'Operate(items=[@A] verb=open)'],
        ['disconnect A', 'Operate(items=[@A] verb=disconnect)'],
        ['connect A', 'Operate(items=[@A] verb=connect)'],
        ['remove A', 'Operate(items=[@A] verb=remove)'],
        ['clean A', 'Operate(items=[@A] verb=clean)'],
        ['apply A', 'Operate(items=[@A] verb=apply)'],
        ['tag A', 'Operate(items=[@A] verb=tag)'],
        ['untag A', 'Operate(items=[@A] verb=untag)'],
        ['pull A, B and tag', 'Operate(items=[@A, @B] tag verb=pull)'],
        ['install A', 'Install(items=[@A])'],
        ['install new A, B', 'Install(fresh items=[@A, @B])'],
        ['install A with R, O', 'Install(items=[@A] with=[@R, @O])'],
        ['set A to ON', 'SetTo(item=@A state=ON)'],
        ['set A to 1', 'SetTo(item=@A state=1)'],
        ['press A', 'Press(item=@A)'],
        ['press A for 4 s', 'Press(item=@A time=Quantity(unit=s value=4))'],
        ['ensure A is ON', 'Ensure(item=@A state=ON)'],
        ['ensure A is ON and tag', 'Ensure(item=@A state=ON tag)'],
        ['clear P', 'Clear(place=@P verb=clear)'],
        ['leave P', 'Clear(place=@P verb=leave)'],
        ['go to P', 'GoTo(place=@P)'],
        ['tell r "t [A]."', 'Tell(role=@r text=Text(parts=["t ", .] refs=[@A]))'],
        ['"Do [A] now."', 'Prose(text=Text(parts=["Do ", " now."] refs=[@A]))'],
        ['"Plain."', 'Prose(text=Text(parts=[Plain.]))'],
        ['torque A', 'Torque(item=@A)'],
        ['torque A 50 to 70 lbf·in', 'Torque(item=@A limits=Limits(high=70 low=50 unit=lbf·in))'],
        ['torque A with T', 'Torque(item=@A tool=@T)'],
        [
            'torque A 50 to 70 lbf·in with T and extension 4 in',
            'Torque(extension=Quantity(unit=in value=4) item=@A limits=Limits(high=70 low=50 unit=lbf·in) tool=@T)',
        ],
        ['keep A at most 30 s {}', 'Keep(atMost=Quantity(unit=s value=30) body=Block() item=@A)'],
        [
            'keep A at ON at most 30 s { wait 1 s }',
            'Keep(atMost=Quantity(unit=s value=30) body=Block(statements=[Wait(time=Quantity(unit=s value=1))]) item=@A state=ON)',
        ],
        ['see A is ON', 'See(item=@A state=ON)'],
        ['see A is ON within 5 s', 'See(item=@A state=ON timing=Timing(within=Quantity(unit=s value=5)))'],
        ['see A is ON for 5 s record', 'See(item=@A record state=ON timing=Timing(for=Quantity(unit=s value=5)))'],
        [
            'see A is ON after 5 s within 10 s else { stop "s" }',
            'See(else=Block(statements=[Stop(text=Text(parts=[s]))]) item=@A state=ON timing=Timing(after=Quantity(unit=s value=5) within=Quantity(unit=s value=10)))',
        ],
        ['read A 2,850 to 3,150 psi', 'Read(item=@A limits=Limits(high=3,150 low=2,850 unit=psi))'],
        [
            'read A at least 5 psi within 3 s',
            'Read(item=@A limits=Limits(low=5 unit=psi) timing=Timing(within=Quantity(unit=s value=3)))',
        ],
        [
            'read A at most 5 psi record else { wait 1 s }',
            'Read(else=Block(statements=[Wait(time=Quantity(unit=s value=1))]) item=@A limits=Limits(high=5 unit=psi) record)',
        ],
        ['measure "gap" of A 3.95 to 4.00 mm', 'Measure(item=@A limits=Limits(high=4.00 low=3.95 unit=mm) what=gap)'],
        [
            'measure "gap" of A at least 3.95 mm record else { wait 1 s }',
            'Measure(else=Block(statements=[Wait(time=Quantity(unit=s value=1))]) item=@A limits=Limits(low=3.95 unit=mm) record what=gap)',
        ],
    ],
    'exercise part': [
        ['failure A is DEAD', 'FailurePart(item=@A state=DEAD)'],
        ['failure A is "jams"', 'FailurePart(item=@A label=jams)'],
        ['trainee plays a, b', 'TraineePart(roles=[@a, @b])'],
        ['found at s', 'FoundPart(step=@s)'],
        ['debrief "x [A]"', 'DebriefPart(text=Text(parts=["x ", ""] refs=[@A]))'],
    ],
};

const all = Object.entries(alternatives).flatMap(([context, rows]) =>
    rows.map(([fragment, tree]) => [context as ContextName, fragment, tree] as const),
);

test.each(all)('%s: %s', (context, fragment, tree) => {
    const { node, problems } = parseIn(context, fragment);
    expect(problems).toEqual([]);
    expect(node && shape(node)).toBe(tree);
});

test.each(kinds.map(kind => kind.word))('kind %s', word => {
    const { node, problems } = parseIn('equipment part', `${word} X "x"`);
    expect(problems).toEqual([]);
    expect(node && shape(node)).toBe(`Item(kind=${word} label=x name=X)`);
    expect(parseText(`subtask S "s" (${word} x) {}`).problems).toEqual([]);
});

describe('nothing of the grammar is left out above', () => {
    const trees = all.map(([, , tree]) => tree).join('\n');
    /** Read only to say what is wrong with it, or never built: what other types have in common. */
    const without = ['Meanwhile', 'UnknownAction', 'File'];

    test('types', () => {
        const isCommon = (type: string) =>
            reflection.getAllTypes().some(other => other !== type && reflection.isSubtype(other, type));
        const missing = reflection
            .getAllTypes()
            .filter(type => !isCommon(type) && !without.includes(type) && !trees.includes(`${type}(`));
        expect(missing).toEqual([]);
    });

    test('words', () => {
        const names = Object.keys(createServices().parser.Lexer.definition);
        const words = names.filter(name => /^[a-z]/.test(name) && !(name in CotterTerminals));
        const written = new Set(all.flatMap(([, fragment]) => fragment.match(/[a-z]+/g)));
        for (const { word } of kinds) written.add(word);
        // Verbs that there are not, read so that the rest of the line is not lost.
        for (const word of ['sees', 'told', 'moves', 'rest', 'meanwhile']) written.add(word);
        expect(words.filter(word => !written.has(word))).toEqual([]);
    });
});
