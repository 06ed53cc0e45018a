/** `evidence`: the outside checks with every difference. */
import type { EvidenceLine } from '../../../sim/index.ts';
import { EVIDENCE, runEvidence } from '../../../sim/index.ts';
import type { Words } from '../options.ts';
import { asCsv } from '../output/machine.ts';
import { table } from '../output/table.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError, EXIT } from '../terminal.ts';

export function evidenceVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  if (files.length > 0) throw new CommandLineError('evidence takes no file: its checks are built in');
  const lines = runEvidence(EVIDENCE);
  const outside = lines.filter((l) => !l.inside);
  if (options.json === true) {
    const problems = outside.map((l) => ({
      severity: 'problem',
      code: 'outside-tolerance',
      path: l.case,
      message: `${l.row}: expected ${l.expected}, computed ${l.computed}`,
    }));
    terminal.out(
      `${JSON.stringify({ status: outside.length === 0 ? 'done' : 'failed', problems, result: { lines }, diagnostics: { checks: EVIDENCE.length, rows: lines.length, outside: outside.length } }, null, 1)}\n`,
    );
  } else if (options.csv === true) {
    const of = (pick: (l: EvidenceLine) => string | number | null) => lines.map((l) => pick(l) ?? '');
    terminal.out(
      asCsv([
        { head: 'check', values: of((l) => l.case) },
        { head: 'row', values: of((l) => l.row) },
        { head: 'unit', values: of((l) => l.unit) },
        { head: 'expected', values: of((l) => l.expected) },
        { head: 'computed', values: of((l) => l.computed) },
        { head: 'difference', values: of((l) => l.difference) },
        { head: 'tolerance', values: of((l) => l.tolerance) },
        { head: 'inside', values: of((l) => (l.inside ? 'yes' : 'no')) },
        { head: 'status', values: of((l) => l.status) },
        { head: 'source', values: of((l) => l.source) },
      ]),
    );
  } else {
    for (const c of EVIDENCE) {
      const own = lines.filter((l) => l.case === c.id);
      const bad = own.filter((l) => !l.inside).length;
      terminal.out(
        `\n${c.title} (${c.id})\n  source: ${c.source}\n${c.note === undefined ? '' : `  note: ${c.note}\n`}`,
      );
      terminal.out(
        table(['row', 'expected', 'computed', 'difference', 'allowed', 'status', ''], own.map(rowOf)),
      );
      if (bad > 0) terminal.out(`  ${bad} OUTSIDE\n`);
    }
    const reported = lines.filter((l) => l.kind === 'report').length;
    terminal.out(
      `\n${lines.length - reported} rows compared in ${EVIDENCE.length} checks, ${outside.length} outside; ${reported} rows only reported.\n`,
    );
  }
  return Promise.resolve(outside.length === 0 ? EXIT.done : EXIT.numbers);
}

function rowOf(l: EvidenceLine): string[] {
  const number = (x: number | null) => (x === null ? '-' : String(Number(x.toPrecision(7))));
  const expected =
    l.kind === 'at least'
      ? `>= ${number(l.expected)}`
      : l.kind === 'at most'
        ? `<= ${number(l.expected)}`
        : number(l.expected);
  const allowed = l.kind === 'equal' ? `± ${number(l.tolerance)}` : l.kind === 'report' ? '-' : 'bound';
  return [
    l.row,
    `${expected} ${l.unit}`.trim(),
    number(l.computed),
    l.difference === null ? '-' : l.difference.toExponential(1),
    allowed,
    l.status,
    l.kind === 'report' ? 'reported' : l.inside ? 'inside' : `OUTSIDE ${l.trouble ?? ''}`,
  ];
}
