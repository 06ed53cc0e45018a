/**
 * Gear ratios out of pasted words: "2.70 1.98 1.62", one a line, "39/14, 36/17", "1st 2.846 (37/13)". Pure.
 *
 * In: text. Out: what is understood of it, gear by gear, as the project file writes a ratio; and remarks on what was
 * left out or does not fit. Edits nothing.
 */
import { readRatio } from '../../../sim/index.ts';

export interface PastedGears {
  /** As the file holds them: "2.70" or "39/14". */
  readonly gears: readonly string[];
  /** True where something must be put right before they can be used. */
  readonly refused: boolean;
  readonly remarks: readonly string[];
}

/** Gears the file takes. */
const MOST_GEARS = 12;
/** A ratio printed to two decimals is off from its teeth by no more. */
const SAME = 0.011;

type Token =
  | { readonly kind: 'label'; readonly gear: number }
  | { readonly kind: 'teeth'; readonly text: string; readonly value: number }
  | { readonly kind: 'ratio'; readonly text: string; readonly value: number; readonly whole: boolean };

const PATTERN =
  /(?<label>\b(?:gear\s*|g)(?<a>\d{1,2})\b\s*[:=)]?|\b(?<b>\d{1,2})\s*(?:st|nd|rd|th)\b(?:\s*gear)?\s*[:=)]?|^\s*(?<c>\d{1,2})\s*(?:[.)](?=\s)|:(?=\s|\d+[.,]\d)|=)\s*(?=\d))|(?<driven>\d{1,3})\s*[/:]\s*(?<driving>\d{1,3})(?![.,]?\d)|(?<number>\d+(?:[.,]\d+)?)(?:\s*:\s*1(?![\d.,/]))?/gi;
const NAMES: Readonly<Record<string, number>> = {
  first: 1,
  second: 2,
  third: 3,
  fourth: 4,
  fifth: 5,
  sixth: 6,
};
const NO_GEAR = /\b(primary|final|secondary|reverse|rev|neutral|sprockets?|total|overall|spread)\b/i;

export function readGears(text: string): PastedGears {
  const remarks: string[] = [];
  const lines = text
    .split(/\r?\n/)
    .map((line) => withNumbers(line))
    .filter((line) => {
      if (!NO_GEAR.test(line)) return true;
      remarks.push(`“${line.trim().slice(0, 40)}” is no gear of the box: left out.`);
      return false;
    });
  const joined = lines.join('\n');
  if (/\d,\d+,\d/.test(joined.replace(/\d{1,3}\s*[/:]\s*\d{1,3}/g, '')) && !/\d\.\d/.test(joined))
    return {
      gears: [],
      refused: true,
      remarks: [
        'A comma cannot part the gears and mark their decimals at once: put a space or a semicolon between them.',
      ],
    };
  const commaIsDecimal = !/\d\.\d/.test(joined);
  const found = lines.flatMap((line, i) =>
    gearsOfLine(tokensOf(line, commaIsDecimal), i, lines.length, remarks),
  );
  if (found.length === 0) return { gears: [], refused: true, remarks: [...remarks, 'No ratio found.'] };
  const labelled = found.every(({ gear }) => gear !== undefined);
  const order = labelled ? found.toSorted((a, b) => a.gear! - b.gear!) : found;
  const refused = [
    ...missing(labelled ? order.map(({ gear }) => gear!) : []),
    ...order.flatMap(({ text: ratio }, i) => {
      const read = readRatio(ratio);
      return typeof read === 'number' ? [] : [`Gear ${i + 1}, ${ratio}: ${read.message}.`];
    }),
    ...(order.length > MOST_GEARS ? [`${order.length} gears: a box may have up to ${MOST_GEARS}.`] : []),
  ];
  const rising = order.findIndex(({ value }, i) => i > 0 && value >= order[i - 1]!.value);
  if (rising > 0)
    remarks.push(
      `Gear ${rising + 1} is not taller than gear ${rising}: driven over driving teeth, first gear first.`,
    );
  return {
    gears: order.map((gear) => gear.text),
    refused: refused.length > 0,
    remarks: [...refused, ...remarks],
  };
}

interface Gear {
  readonly gear: number | undefined;
  readonly text: string;
  readonly value: number;
}

/** What falls from one gear to the next: 0.27 where the engine drops by 27 % in the shift up. */
export function stepsOf(ratios: readonly (number | undefined)[]): (number | undefined)[] {
  return ratios.slice(1).map((ratio, i) => {
    const before = ratios[i];
    return ratio === undefined || before === undefined || before <= 0 ? undefined : 1 - ratio / before;
  });
}

function withNumbers(line: string): string {
  return line.replace(
    /\b(first|second|third|fourth|fifth|sixth)\b/gi,
    (word) => `gear ${NAMES[word.toLowerCase()]}:`,
  );
}

function tokensOf(line: string, commaIsDecimal: boolean): Token[] {
  const apart = line.replace(/(\d{1,3}\s*\/\s*\d{1,3}|\d{2,3}:\d{2,3}),/g, '$1 ');
  const text = commaIsDecimal ? apart.replace(/,(?=\s|$)/g, ' ') : apart.replaceAll(',', ' ');
  return [...text.matchAll(PATTERN)].map(({ groups = {} }): Token => {
    const gear = groups['a'] ?? groups['b'] ?? groups['c'];
    if (gear !== undefined) return { kind: 'label', gear: Number(gear) };
    const { driven, driving } = groups;
    if (driven !== undefined && driving !== undefined)
      return { kind: 'teeth', text: `${driven}/${driving}`, value: Number(driven) / Number(driving) };
    const number = (groups['number'] ?? '').replace(',', '.');
    return { kind: 'ratio', text: number, value: Number(number), whole: !number.includes('.') };
  });
}

function gearsOfLine(tokens: readonly Token[], row: number, rows: number, remarks: string[]): Gear[] {
  const gears: Gear[] = [];
  let gear: number | undefined;
  const [head, next] = tokens;
  // "2 1.98" on the second of several lines numbers the gear.
  const isCounted =
    rows > 1 &&
    head?.kind === 'ratio' &&
    head.whole &&
    head.value === row + 1 &&
    next !== undefined &&
    next.kind !== 'label';
  if (isCounted) gear = row + 1;
  let last: Token | undefined;
  for (const token of isCounted ? tokens.slice(1) : tokens) {
    if (token.kind === 'label') {
      gear = token.gear;
      last = undefined;
      continue;
    }
    const sameGear = last !== undefined && last.kind !== 'label' && last.kind !== token.kind;
    if (sameGear && last !== undefined && last.kind !== 'label') {
      const [teeth, ratio] = token.kind === 'teeth' ? [token, last] : [last, token];
      const agrees = Math.abs(teeth.value / ratio.value - 1) < SAME;
      if (agrees || gear !== undefined) {
        if (!agrees)
          remarks.push(
            `${teeth.text} is ${teeth.value.toFixed(3)}, but ${ratio.text} stands beside it: the teeth are taken.`,
          );
        gears[gears.length - 1] = { gear: gears.at(-1)?.gear, text: teeth.text, value: teeth.value };
        last = undefined;
        continue;
      }
    }
    gears.push({ gear, text: token.text, value: token.value });
    if (gear !== undefined) gear = last === undefined ? gear : undefined;
    last = token;
  }
  return gears;
}

function missing(labels: readonly number[]): string[] {
  return labels.flatMap((label, i) =>
    label === i + 1 ? [] : i > 0 && label === labels[i - 1] ? [`Gear ${label} stands there twice.`] : [],
  );
}
