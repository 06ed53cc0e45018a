/** The known word a mistyped one was probably meant to be. */

/** Nearest of `known` by single-letter edits; undefined where none is near (a third of the letters, at least 1). */
export function nearest(typed: string, known: Iterable<string>): string | undefined {
  const wanted = typed.toLowerCase().slice(0, 60);
  const most = Math.max(1, Math.floor(wanted.length / 3));
  let best: string | undefined;
  let least = most + 1;
  for (const word of known) {
    if (Math.abs(word.length - wanted.length) >= least) continue;
    const edits = distance(wanted, word.toLowerCase());
    if (edits < least) [best, least] = [word, edits];
  }
  return best;
}

/** Edits between two words: insert, delete, replace, or exchange two neighbours (optimal string alignment). */
function distance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const here = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let edits = Math.min(above[j]! + 1, here[j - 1]! + 1, above[j - 1]! + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        edits = Math.min(edits, before[j - 2]! + 1);
      here.push(edits);
    }
    [before, above] = [above, here];
  }
  return above[b.length]!;
}

/** "did you mean 'four'?" or, where nothing is near, the given words. */
export function didYouMean(typed: string, known: Iterable<string>, otherwise: string): string {
  const word = nearest(typed, known);
  return word === undefined ? otherwise : `did you mean '${word}'?`;
}

/** A list of words short enough for a message. */
export function someOf(words: readonly string[], most = 12): string {
  if (words.length === 0) return 'none';
  return words.length <= most
    ? words.join(', ')
    : `${words.slice(0, most).join(', ')} and ${words.length - most} more`;
}
