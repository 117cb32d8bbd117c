import { defineConfig } from 'vitest/config';

export default defineConfig({
    test: {
        include: ['tests/**/*.test.ts'],
        // Measured by `npm run bench`; driven in an editor of its own by tests/workbench.
        exclude: ['**/node_modules/**', 'tests/bench/**', 'tests/workbench/**'],
        testTimeout: 30_000,
        hookTimeout: 60_000,
        maxWorkers: 2,
    },
});
