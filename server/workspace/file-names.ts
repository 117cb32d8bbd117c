export const extension = '.cotter';
export const settingsFile = 'cotter.json';
