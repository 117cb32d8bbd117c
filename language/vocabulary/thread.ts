/**
 * The most that a nut on a thread is ever torqued to, in lbf·in, in tension: FAA AC 43.13-1B, chapter 7, table 7-1, "Recommended torque values for nut-bolt
 * combinations (without lubrication)", column "maximum allowable torque limits" for tension nuts. Nuts for shear are allowed less; which kind of nut is fitted
 * the equipment does not say.
 */
const table: ReadonlyMap<string, number> = new Map([
    ['8-36', 20],
    ['10-32', 40],
    ['1/4-28', 100],
    ['5/16-24', 225],
    ['3/8-24', 390],
    ['7/16-20', 840],
    ['1/2-20', 1100],
    ['9/16-18', 1600],
    ['5/8-18', 2400],
    ['3/4-16', 5000],
    ['7/8-14', 7000],
    ['1-14', 10000],
    ['1-1/8-12', 15000],
    ['1-1/4-12', 25000],
    ['8-32', 20],
    ['10-24', 35],
    ['1/4-20', 75],
    ['5/16-18', 160],
    ['3/8-16', 275],
    ['7/16-14', 475],
    ['1/2-13', 880],
    ['9/16-12', 1100],
    ['5/8-11', 1500],
    ['3/4-10', 2500],
    ['7/8-9', 4600],
]);

/** In lbf·in; undefined where the table does not have the thread. A class behind it ("1/4-28 UNJF-3A") is left out. */
export const mostOnThread = (thread: string): number | undefined => table.get(thread.trim().split(/\s/)[0] ?? '');
