import type { Condition } from './condition.js';

/**
 * Conditions compiled to flat arrays over *cells*. Cell n below the number of slots is slot n; above them stands one cell an item,
 * 1 while the contact of that breaker is closed. A program is a list of operations in postfix order, three numbers each: IS cell value,
 * NOT, AND count, OR count. No jumps: whoever runs many machines side by side can run the same program on words.
 */
export type Program = Int32Array;

export const IS = 0;
export const NOT = 1;
export const AND = 2;
export const OR = 3;

/** What a bare name and a breaker's contact come down to, in cells. */
export interface CellTests {
    /** The tests that must all hold for the item to be live, running, made or closed. Expanded through its feeds. */
    readonly live: (item: number) => readonly CellTest[];
    readonly contact: (item: number) => number;
}
/** The cell has the value; `not`: has any other. */
export interface CellTest {
    readonly cell: number;
    readonly value: number;
    readonly not?: boolean;
}

/**
 * Compiles a condition. People (`told`, `someone`, `nobody`) are unknown to the machine: they read as `people`.
 * `held` reads as the state alone; its time is judged on paths.
 */
export function compileProgram(condition: Condition, tests: CellTests, people = true): Program {
    const code: number[] = [];
    const put = (each: Condition): void => {
        switch (each.op) {
            case 'is':
            case 'held':
                if (each.contact && each.state === 0) code.push(IS, tests.contact(each.item), 1);
                // Tripped: the knob was not pulled, and the contact is open.
                else if (each.contact)
                    code.push(IS, each.slot, 1, NOT, 0, 0, IS, tests.contact(each.item), 0, AND, 2, 0);
                else code.push(IS, each.slot, each.state);
                break;
            case 'live':
                putTests(tests.live(each.item), code);
                break;
            case 'told':
            case 'someone':
            case 'nobody':
                code.push(people ? AND : OR, 0, 0);
                break;
            case 'not':
                put(each.of);
                code.push(NOT, 0, 0);
                break;
            default:
                for (const one of each.of) put(one);
                code.push(each.op === 'and' ? AND : OR, each.of.length, 0);
        }
    };
    put(condition);
    return Int32Array.from(code);
}

/** All of the tests as one program. */
export function compileTests(tests: readonly CellTest[]): Program {
    const code: number[] = [];
    putTests(tests, code);
    return Int32Array.from(code);
}

function putTests(tests: readonly CellTest[], code: number[]): void {
    for (const { cell, value, not } of tests) {
        code.push(IS, cell, value);
        if (not) code.push(NOT, 0, 0);
    }
    if (tests.length !== 1) code.push(AND, tests.length, 0);
}

let stack = new Uint8Array(1024);

/** True where the condition holds in these cells. An empty AND is true, an empty OR false. */
export function runProgram(program: Program, cells: ArrayLike<number>): boolean {
    if (program.length > 3 * stack.length) stack = new Uint8Array(program.length);
    let top = 0;
    for (let at = 0; at < program.length; at += 3) {
        const a = program[at + 1] as number;
        switch (program[at]) {
            case IS:
                stack[top++] = cells[a] === program[at + 2] ? 1 : 0;
                break;
            case NOT:
                stack[top - 1] = stack[top - 1] ? 0 : 1;
                break;
            case AND: {
                let all = 1;
                for (let n = 0; n < a; n++) all &= stack[--top] as number;
                stack[top++] = all;
                break;
            }
            default: {
                let any = 0;
                for (let n = 0; n < a; n++) any |= stack[--top] as number;
                stack[top++] = any;
            }
        }
    }
    return stack[0] === 1;
}

/** Every cell that the program reads. */
export function cellsOf(program: Program): number[] {
    const cells = new Set<number>();
    for (let at = 0; at < program.length; at += 3) if (program[at] === IS) cells.add(program[at + 1] as number);
    return [...cells];
}
