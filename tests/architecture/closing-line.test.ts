/** The last line of a test run counts every way a run can go wrong, so that green is never printed over red. */
import { describe, expect, it } from 'vitest';
import type { TestModule } from 'vitest/node';
import { closingLine } from '../closing-line-reporter.ts';

interface Made {
  readonly states: readonly ('passed' | 'failed' | 'skipped' | 'pending')[];
  readonly errors?: number;
  readonly suiteErrors?: number;
}

/** The part of a test module that the line is counted from. */
function made({ states, errors = 0, suiteErrors = 0 }: Made): TestModule {
  const list = (count: number): unknown[] => Array.from({ length: count }, () => new Error('broken'));
  return {
    errors: () => list(errors),
    children: {
      allSuites: () => [{ errors: () => list(suiteErrors) }],
      allTests: () => states.map((state) => ({ result: () => ({ state }) })),
    },
  } as unknown as TestModule;
}

describe('the closing line', () => {
  it('counts tests over all files', () => {
    expect(closingLine([made({ states: ['passed', 'failed'] }), made({ states: ['passed'] })], 0)).toBe(
      '2 passed, 1 failed',
    );
  });

  it('names skipped tests only where there are some', () => {
    expect(closingLine([made({ states: ['passed', 'skipped'] })], 0)).toBe('1 passed, 0 failed, 1 skipped');
  });

  it('counts as failed a file that cannot be read, a broken hook, an error outside tests, a test without an end', () => {
    expect(closingLine([made({ states: [], errors: 1 })], 0)).toBe('0 passed, 1 failed');
    expect(closingLine([made({ states: ['passed'], suiteErrors: 1 })], 0)).toBe('1 passed, 1 failed');
    expect(closingLine([made({ states: ['passed'] })], 2)).toBe('1 passed, 2 failed');
    expect(closingLine([made({ states: ['pending'] })], 0)).toBe('0 passed, 1 failed');
  });
});
