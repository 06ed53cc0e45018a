/**
 * How far a difference of two may lie from what the file says, and which way the odds point: in page and terminal alike.
 *
 * In: ends of an interval of 90 %, a verdict with its probability. Out: words. Pure.
 */

/** ", nine in ten 0.13 to 0.51" with the ends in the direction of the difference; '' where they are not known. */
export function nineInTen(difference: number, low: number | null, high: number | null, unit = ''): string {
  if (low === null || high === null) return '';
  const [from, to] = difference < 0 ? [-high, -low] : [low, high];
  return `, nine in ten ${hundredths(from)} to ${hundredths(to)}${unit}`;
}

function hundredths(seconds: number): string {
  const text = seconds.toFixed(2);
  return text === '-0.00' ? '0.00' : text.replace('-', '−');
}

/** "likely quicker", "decided, slower", or why neither is said. `probability` is that of the quicker. */
export function oddsWords(verdict: string | null, probability: number | null): string {
  if (verdict === null || probability === null) return '';
  if (verdict !== 'likely' && verdict !== 'decided') return verdict;
  return `${verdict === 'likely' ? 'likely' : 'decided,'} ${probability >= 0.5 ? 'quicker' : 'slower'}`;
}
