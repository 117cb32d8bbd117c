import type { Check } from '../../check.js';

/** Found while the texts are read and linked (names/); here it only gets its place in the table. */
export const unknownName: Check = {
    code: 'unknown-name',
    family: 'text',
    severity: 'error',
    title: 'A name that names nothing',
    ofText: project => project.findings.filter(finding => finding.code === 'unknown-name'),
};
