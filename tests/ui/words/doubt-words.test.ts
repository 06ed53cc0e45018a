/** How sure something is, in words: chances that add up, no word beyond its own threshold, no figure its error swallows. */
import { describe, expect, test } from 'vitest';
import type { Decision, Measuring, UnknownsResult, VarianceOf } from '../../../sim/index.ts';
import { verdictOn } from '../../../sim/index.ts';
import { chance } from '../../../ui/web/words/numbers.ts';
import {
  chanceWords,
  narrowerWords,
  narrowingSentence,
  narrowsSentence,
  settlesSentence,
  settlesWords,
  settlingSentence,
} from '../../../ui/words/doubt-words.ts';

const points = (words: string): number => Number(/^(\d+) %$/.exec(words)?.[1]);

describe('a chance', () => {
  test('and that of the contrary add up to 100 %; neither is a point off; neither is 0 or 100 %', () => {
    for (let k = 0; k <= 4000; k++) {
      const p = k / 4000;
      const [one, other] = [chanceWords(p), chanceWords(1 - p)];
      if (one === 'over 99 %') expect([p > 0.99, other]).toEqual([true, 'under 1 %']);
      else if (one === 'under 1 %') expect([p < 0.01, other]).toEqual([true, 'over 99 %']);
      else {
        expect(points(one) + points(other), String(p)).toBe(100);
        expect(Math.abs(points(one) - 100 * p), String(p)).toBeLessThan(1);
      }
    }
    expect([chanceWords(0.845), chanceWords(0.155)]).toEqual(['85 %', '15 %']);
  });

  test('is not rounded up to a threshold it does not reach', () => {
    for (const p of [0.945, 0.9499, 0.95, 0.951, 0.7449, 0.7451, 0.7499, 0.75]) {
      const word = verdictOn(1, p);
      const said = points(chanceWords(p)) / 100;
      expect(verdictOn(1, said), String(p)).toBe(word);
      expect(verdictOn(1, 1 - points(chanceWords(1 - p)) / 100), String(p)).toBe(word);
    }
    expect(chance(0.9499).replace('\u00a0', ' ')).toBe('94 %');
  });
});

describe('what a measurement does', () => {
  const measuring = (figures: Partial<Measuring>): Measuring => ({
    path: 'a',
    how: 'scales',
    effort: 'minutes',
    spreadNow: 2,
    spreadThen: 1,
    narrower: 0.3,
    narrowerError: 0.02,
    settles: 0.4,
    settlesError: 0.02,
    ...figures,
  });
  const vague = measuring({ narrower: 0.05, narrowerError: 0.1, settles: 0.06, settlesError: 0.08 });

  test('an error as large as the figure: the draws cannot tell, and no figure is said', () => {
    expect(narrowerWords(vague)).toBe('these draws cannot tell');
    expect(settlesWords(vague)).toBe('these draws cannot tell');
    expect(narrowsSentence('The interval gets narrower', vague)).toBe(
      'The interval gets narrower; by how much these draws cannot tell.',
    );
    expect(settlesSentence(vague)).toBe('Whether it is decided then these draws cannot tell.');
    // As said: 5 % and 5.
    expect(narrowerWords(measuring({ narrower: 0.07, narrowerError: 0.05 }))).toBe('these draws cannot tell');
  });

  test('a smaller error: the figure with it; what is small for certain is said to be', () => {
    const clear = measuring({});
    expect(narrowsSentence('It would narrow the answer', clear)).toBe(
      'It would narrow the answer by 30 % ± 2.',
    );
    expect(settlesSentence(clear)).toBe('Then decided with a chance of 40 % ± 2.');
    expect(narrowerWords(measuring({ narrower: 0.004, narrowerError: 0.012 }))).toBe('under 2 %');
    expect(narrowerWords(measuring({ narrower: 0.3, narrowerError: 0 }))).toBe('roughly 30 %');
  });

  test('a comparison says so too, unless another measurement would settle it', () => {
    const spread = { p5: -0.1, p50: 0.3, p95: 0.7 } as Decision['difference'];
    const decision: Decision = {
      figure: 'lap time',
      better: 'less',
      first: 'one',
      second: 'other',
      secondBetter: 0.2,
      error: 0.01,
      difference: spread,
      verdict: 'open',
      sureness: 'likely',
    };
    const say = { kart: (id: string) => id, input: (path: string) => path, size: String };
    const of = (list: readonly Measuring[]) => {
      const variance = [
        { kart: 'other', against: 'one', shares: [{}], measuring: list },
      ] as unknown as VarianceOf[];
      return { mainFigure: 'lap time', variance } as unknown as UnknownsResult;
    };
    expect(settlingSentence(decision, of([vague]), say)).toBe(
      'Whether a measurement listed here would settle it these draws cannot tell: more draws may.',
    );
    expect(narrowingSentence(decision, of([vague]), say)).toBe(
      'What may narrow the difference most: a (scales; minutes); by how much these draws cannot tell.',
    );
    const higher = { ...vague, settles: 0.5, settlesError: 0.6 };
    const both = of([higher, measuring({ path: 'b', settles: 0.2 })]);
    expect(settlingSentence(decision, both, say)).toBe(
      'Most likely to settle it: measuring b, with a chance of 20 % ± 2.',
    );
    expect(narrowingSentence({ ...decision, sureness: 'no difference' }, of([vague]), say)).toBe('');
  });
});
