/** Two projects: `unit` runs anywhere in seconds; `browser` drives the built page in Chromium. */
import { defineConfig } from 'vitest/config';
import { ClosingLineReporter } from './tests/closing-line-reporter.ts';

export default defineConfig({
  test: {
    reporters: ['default', new ClosingLineReporter()],
    coverage: { include: ['sim/**', 'workers/**', 'ui/**'], reportsDirectory: 'coverage' },
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['tests/browser/**', 'tests/bench/**'],
          testTimeout: 20_000,
          // Every core, where vitest by itself keeps one free.
          maxWorkers: '100%',
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          globalSetup: ['tests/browser/serve-built-page.ts'],
          // A page under test shares two cores with the browser and the tests: long, and one file at a time.
          testTimeout: 60_000,
          hookTimeout: 60_000,
          fileParallelism: false,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
