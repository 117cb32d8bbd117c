import type { Settings } from '../../language/check.js';
import { checks } from '../../language/checks/index.js';
import { nearest } from '../../language/grammar/nearest.js';
import { spellings, unitMeant, unitOf } from '../../language/vocabulary/units.js';
import type { Problem } from './problem.js';

export const levels = ['error', 'warning', 'information', 'off'] as const;
const codes = checks.map(({ code }) => code);
/** Narrower lines would break everywhere. */
export const leastLineWidth = 40;
export const sentences = ['step', 'note'] as const;
const keys = ['severities', 'units', 'sentence', 'lineWidth'] as const;

export interface Read {
    readonly settings: Settings;
    readonly problems: readonly Problem[];
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** The settings in the text of a project's `cotter.json`. What is wrong with it is said, and the rest of it holds. */
export function settingsIn(text: string, place: string): Read {
    let value: unknown;
    try {
        value = JSON.parse(text);
    } catch (error) {
        return { settings: {}, problems: [{ place, message: `is not JSON: ${(error as Error).message}` }] };
    }
    return understand(value, place);
}

export function understand(value: unknown, place: string): Read {
    const problems: Problem[] = [];
    const settings: Mutable<Settings> = {};
    const say = (message: string) => problems.push({ place, message });
    if (!isRecord(value)) {
        say('must hold an object, { ... }');
        return { settings, problems };
    }
    for (const key of Object.keys(value)) {
        if (key !== '$schema' && !keys.some(known => known === key)) {
            say(`"${key}" is not a setting${meant(key, keys)}; the settings are ${keys.join(', ')}`);
        }
    }
    const { severities, units, sentence, lineWidth } = value;
    if (severities !== undefined) settings.severities = understandSeverities(severities, say);
    if (units !== undefined) {
        if (Array.isArray(units) && units.every(unit => typeof unit === 'string')) {
            for (const unit of units)
                if (!unitOf(unit)) say(`"${unit}" is not a unit${meant(unit, spellings, unitMeant(unit))}`);
            settings.units = units.filter(unit => unitOf(unit));
        } else say('"units" must be a list of units, such as ["N·m", "lbf·in"]');
    }
    if (sentence !== undefined) settings.sentence = understandSentence(sentence, say);
    if (typeof lineWidth === 'number' && Number.isInteger(lineWidth) && lineWidth >= leastLineWidth)
        settings.lineWidth = lineWidth;
    else if (lineWidth !== undefined) say(`"lineWidth" must be a whole number of columns, ${leastLineWidth} at least`);
    return { settings, problems };
}

function understandSeverities(value: unknown, say: (message: string) => void): Settings['severities'] {
    const understood: Record<string, (typeof levels)[number]> = {};
    if (!isRecord(value)) say('"severities" must be an object, such as { "vacuous-look": "off" }');
    else {
        for (const [code, level] of Object.entries(value)) {
            const check = checks.find(each => each.code === code);
            const known = levels.find(word => word === level);
            if (!check) say(`"${code}" is not the code of a check${meant(code, codes)}`);
            else if (check.severity === 'error') say(`${code} is an error, and an error stays one`);
            else if (known) understood[code] = known;
            else say(`the severity of ${code} must be one of ${levels.join(', ')}`);
        }
    }
    return understood;
}

function understandSentence(value: unknown, say: (message: string) => void): Settings['sentence'] {
    const understood: { step?: number; note?: number } = {};
    if (!isRecord(value)) say('"sentence" must be an object, such as { "step": 20, "note": 25 }');
    else {
        for (const [key, words] of Object.entries(value)) {
            const known = sentences.find(word => word === key);
            if (!known)
                say(`"${key}" is not a kind of sentence${meant(key, sentences)}; they are ${sentences.join(', ')}`);
            else if (typeof words === 'number' && Number.isInteger(words) && words > 0) understood[known] = words;
            else say(`"sentence.${key}" must be a whole number of words`);
        }
    }
    return understood;
}

function meant(word: string, among: readonly string[], match = nearest(word, among)): string {
    return match ? `; did you mean "${match}"?` : '';
}

function isRecord(value: unknown): value is Record<string, unknown> {
    return typeof value === 'object' && value !== null && !Array.isArray(value);
}
