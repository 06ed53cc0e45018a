/** `check`: what is wrong with a file, what is in it, what is assumed. */
import type { InputNote } from '../../../sim/index.ts';
import { findUnit, fromSI, isBlocking, projectJsonSchema, quantity } from '../../../sim/index.ts';
import { refuse, tell } from '../finish.ts';
import type { Words } from '../options.ts';
import { table } from '../output/table.ts';
import { loadProject } from '../project-files.ts';
import type { Terminal } from '../terminal.ts';
import { CommandLineError, EXIT } from '../terminal.ts';

export function checkVerb({ files, options }: Words, terminal: Terminal): Promise<number> {
  if (options.schema === true) {
    if (files.length > 0) throw new CommandLineError('check --schema takes no file');
    terminal.out(`${JSON.stringify(projectJsonSchema(), null, 1)}\n`);
    return Promise.resolve(EXIT.done);
  }
  const read = loadProject(files, options.set ?? []);
  const { project, problems, notes } = read;
  if (project === undefined || isBlocking(problems))
    return Promise.resolve(refuse(problems, options, terminal));
  if (options.json === true) {
    const assumed = notes.filter((n) => n.origin === 'assumed').length;
    terminal.out(
      `${JSON.stringify({ status: 'done', problems, result: { name: project.name, contents: contents(project), assumed, ...(options.assumptions === true ? { notes } : {}) }, diagnostics: {} }, null, 1)}\n`,
    );
    return Promise.resolve(EXIT.done);
  }
  terminal.out(`${project.name}\n`);
  for (const [kind, ids] of Object.entries(contents(project)))
    terminal.out(`  ${kind.padEnd(9)} ${ids.join(', ') || '-'}\n`);
  const origins = new Map<string, number>();
  for (const n of notes) origins.set(n.origin, (origins.get(n.origin) ?? 0) + 1);
  terminal.out(
    `\n${notes.length} values: ${[...origins].map(([origin, count]) => `${count} ${origin}`).join(', ')}\n`,
  );
  if (options.assumptions === true) terminal.out(`\n${assumptions(notes)}`);
  tell(problems, terminal);
  terminal.out(
    problems.length === 0 ? 'No problems.\n' : `${problems.length} remarks, none that stops a computation.\n`,
  );
  return Promise.resolve(EXIT.done);
}

function contents(project: object): Record<string, string[]> {
  const kinds = ['days', 'surfaces', 'tyres', 'donors', 'chassis', 'brakes', 'karts', 'tracks'] as const;
  return Object.fromEntries(
    kinds.map((kind) => [kind, Object.keys((project as Record<string, object>)[kind] ?? {})]),
  );
}

function assumptions(notes: readonly InputNote[]): string {
  const rows = notes
    .filter((n) => n.origin === 'assumed' || n.origin === 'borrowed')
    .map((n) => {
      const row = quantity(n.quantity);
      const unit = findUnit(row.dimension, row.shown)!;
      const tidy = (x: number) => String(Number(x.toPrecision(4)));
      const spread = tidy(n.spread / unit.factor);
      return [
        n.path,
        `${tidy(fromSI(n.value, unit))} ${unit.label}`.trim(),
        `± ${spread}`,
        n.origin,
        row.measure,
      ];
    });
  return table(['value', 'taken', 'spread', 'origin', 'how to measure it'], rows);
}
