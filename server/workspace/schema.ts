import { checks } from '../../language/checks/index.js';
import { defaultLineWidth } from '../../language/format/format.js';
import { mostWords } from '../../language/vocabulary/prose.js';
import { spellings } from '../../language/vocabulary/units.js';
import { leastLineWidth, levels, sentences } from './settings.js';

/** Where it stands in the project: editors that are pointed to it complete and check `cotter.json`. */
export const schemaFile = 'server/workspace/cotter.schema.json';

/** The JSON schema of `cotter.json`, for editors. What it allows is what `readSettings` understands. */
export function settingsSchema(): unknown {
    const changeable = checks.filter(each => each.severity !== 'error');
    return {
        $schema: 'http://json-schema.org/draft-07/schema#',
        title: 'cotter.json',
        description: 'The settings of a Cotter project. The folder that holds this file is the project.',
        type: 'object',
        additionalProperties: false,
        properties: {
            $schema: { type: 'string', description: 'Where this schema stands.' },
            severities: {
                type: 'object',
                description: 'Other severities for warnings and information. An error stays an error.',
                additionalProperties: false,
                properties: Object.fromEntries(
                    changeable.map(({ code, title, severity }) => [
                        code,
                        { description: `${title}. Without a setting: ${severity}.`, enum: [...levels] },
                    ]),
                ),
            },
            units: {
                type: 'array',
                description: 'Units to print beside the written ones.',
                items: { enum: [...spellings] },
            },
            sentence: {
                type: 'object',
                description: 'The most words in a sentence.',
                additionalProperties: false,
                properties: Object.fromEntries(
                    sentences.map(each => [each, { type: 'integer', minimum: 1, default: mostWords[each] }]),
                ),
            },
            lineWidth: {
                type: 'integer',
                description: 'Columns of a line when `cotter format` breaks one.',
                minimum: leastLineWidth,
                default: defaultLineWidth,
            },
        },
    };
}
