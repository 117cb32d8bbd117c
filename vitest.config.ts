import { defineConfig } from 'vitest/config';

export default defineConfig({
    test: {
        include: ['tests/**/*.test.ts'],
        // Measured by `npm run bench`; driven in an editor of its own by tests/workbench.
        exclude: ['**/node_modules/**', 'tests/bench/**', 'tests/workbench/**'],
        testTimeout: 300_000,
        hookTimeout: 300_000,
        maxWorkers: 2,
    },
});
