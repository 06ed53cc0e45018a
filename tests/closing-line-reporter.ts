/** Ends a test run with one line for people and programs: `N passed, N failed`, and skipped ones if any. */
import type { Reporter, TestModule } from 'vitest/node';

export class ClosingLineReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandledErrors: readonly unknown[]): void {
    console.log(closingLine(modules, unhandledErrors.length));
  }
}

/** Counts tests; a file that could not be read and an error outside every test count as failed. */
export function closingLine(modules: readonly TestModule[], unhandledErrors: number): string {
  let passed = 0;
  let failed = unhandledErrors;
  let skipped = 0;
  for (const module of modules) {
    failed += module.errors().length;
    for (const suite of module.children.allSuites()) failed += suite.errors().length;
    for (const test of module.children.allTests()) {
      const { state } = test.result();
      if (state === 'passed') passed += 1;
      else if (state === 'skipped') skipped += 1;
      else failed += 1;
    }
  }
  return `${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`;
}
