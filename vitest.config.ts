/**
 * `unit` and `storage` run anywhere, `storage` with the browser's storage replaced by a stand-in; `browser` and `browser
 * alone` drive the built page in Chromium.
 */
import { defineConfig } from 'vitest/config';
import { ClosingLineReporter } from './tests/closing-line-reporter.ts';

/** A page under test shares two cores with the browser and the tests: long. */
const IN_BROWSER = {
  globalSetup: ['tests/browser/serve-built-page.ts'],
  testTimeout: 60_000,
  hookTimeout: 60_000,
  expect: { poll: { timeout: 10_000 } },
};

/** Where a hand must be quicker than what it stops, or memory is counted: nothing else runs beside these. */
const ALONE = [
  'tests/browser/large-course-files.test.ts',
  'tests/browser/match.test.ts',
  'tests/browser/page-costs.test.ts',
];

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
          exclude: ['tests/browser/**', 'tests/bench/**', 'tests/ui/web/store/**'],
          testTimeout: 20_000,
          // Every core, where vitest by itself keeps one free.
          maxWorkers: '100%',
          // These tests change nothing global, so the modules are loaded once per worker: a quarter less time.
          isolate: false,
          sequence: { groupOrder: 0 },
        },
      },
      {
        extends: true,
        test: {
          name: 'storage',
          include: ['tests/ui/web/store/*.test.ts'],
          testTimeout: 20_000,
          maxWorkers: '100%',
          sequence: { groupOrder: 1 },
        },
      },
      {
        extends: true,
        test: {
          ...IN_BROWSER,
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          exclude: [...ALONE],
          maxWorkers: 2,
          sequence: { groupOrder: 2 },
        },
      },
      {
        extends: true,
        test: {
          ...IN_BROWSER,
          name: 'browser alone',
          include: [...ALONE],
          fileParallelism: false,
          sequence: { groupOrder: 3 },
        },
      },
    ],
  },
});
