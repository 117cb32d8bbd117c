import type { Check } from '../../check.js';

/** Found while the texts are read and linked (names/); here it only gets its place in the table. */
export const duplicateName: Check = {
    code: 'duplicate-name',
    family: 'text',
    severity: 'error',
    title: 'One name for two things',
    ofText: project => project.findings.filter(finding => finding.code === 'duplicate-name'),
};
