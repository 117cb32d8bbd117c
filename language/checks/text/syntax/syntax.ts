import type { Check } from '../../check.js';

/** Found while the texts are read and linked (names/); here it only gets its place in the table. */
export const syntax: Check = {
    code: 'syntax',
    family: 'text',
    severity: 'error',
    title: 'The text cannot be read here',
    ofText: project => project.findings.filter(finding => finding.code === 'syntax'),
};
