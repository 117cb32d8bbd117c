/**
 * Codes that speak of what a text leaves out or has too much of: roles that do nothing, spares that are not fitted, breakers that feed nothing, areas that
 * nothing wets, hazards without a warning. The small texts of tests are made of just what they are about, so these are left aside there.
 */
export const ofWholeTexts: ReadonlySet<string> = new Set([
    'never-used',
    'spare-not-used',
    'nothing-depends',
    'state-never-reached',
    'alert-after-action',
]);
