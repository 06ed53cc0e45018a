/**
 * Evidence: every outside check worked out here and now, in this browser, beside what its source says.
 *
 * Starts when the page is shown, in a worker of its own; lines appear as they come.
 */
import { useEffect, useState } from 'preact/hooks';
import type { EvidenceLine } from '../../../sim/index.ts';
import type { EvidenceHead } from '../../../workers/evidence-service.ts';
import { spawnEvidence } from '../../../workers/spawn-evidence.ts';
import { TableOf } from '../plots/data-table.tsx';
import type { PlotTable } from '../plots/plot.ts';
import { QuantityReference } from './quantity-reference.tsx';

interface Found {
  readonly heads: readonly EvidenceHead[];
  /** Lines of the checks done so far, in the order of `heads`. */
  readonly lines: readonly (readonly EvidenceLine[])[];
  readonly trouble?: string;
}

export function EvidencePage() {
  const { heads, lines, trouble } = useEvidence();
  const all = lines.flat();
  const outside = all.filter((line) => !line.inside);
  const reported = all.filter((line) => line.kind === 'report').length;
  const isDone = heads.length > 0 && lines.length === heads.length;
  return (
    <div class="evidence">
      <section class="headline" aria-labelledby="evidence-title">
        <h2 class="question" id="evidence-title">
          Evidence
        </h2>
        <p class="lap-time" role="status" id="evidence-sentence">
          {trouble ??
            (isDone
              ? `${all.length - reported} figures compared in ${heads.length} checks: ${
                  outside.length === 0 ? 'all agree' : `${outside.length} do not agree`
                }.`
              : `${lines.length} of ${heads.length} checks worked out …`)}
        </p>
        <p>
          Each line is a textbook case, a standard’s table or a closed form, written as a project file and
          worked out by the same path as your own kart, just now, in this browser. {reported} figures without
          a source are only reported. They show that the sums are right, not that your inputs are: for that,
          measure.
        </p>
      </section>
      {heads.slice(0, lines.length).map((head, i) => (
        <Check key={head.id} head={head} lines={lines[i] ?? []} />
      ))}
      <QuantityReference />
    </div>
  );
}

function Check({ head, lines }: { head: EvidenceHead; lines: readonly EvidenceLine[] }) {
  const bad = lines.filter((line) => !line.inside).length;
  const compared = lines.filter((line) => line.kind !== 'report').length;
  return (
    <details class="card check" open={bad > 0}>
      <summary>
        <span class={bad > 0 ? 'verdict-mark bad' : 'verdict-mark'}>
          {bad > 0 ? `${bad} differ` : compared === 0 ? 'reported' : `${compared} agree`}
        </span>
        {head.title} <small>{head.status}</small>
      </summary>
      <p class="field-says">Source: {head.source}</p>
      {head.note === undefined ? null : <p class="field-says">{head.note}</p>}
      <TableOf caption={head.title} table={checkTable(lines)} />
    </details>
  );
}

function checkTable(lines: readonly EvidenceLine[]): PlotTable {
  return {
    heads: ['figure', 'unit', 'expected', 'worked out here', 'difference', 'allowed', 'why so much', ''],
    rows: lines.map((line) => [
      line.row,
      line.unit,
      line.expected === null ? '' : `${boundWord(line.kind)}${number(line.expected)}`,
      line.computed === null ? (line.trouble ?? 'failed') : number(line.computed),
      line.difference === null ? '' : line.difference.toExponential(1),
      line.kind === 'equal' ? `±${number(line.tolerance)}` : '',
      line.why,
      line.kind === 'report' ? 'reported' : line.inside ? 'agrees' : 'differs',
    ]),
  };
}

function boundWord(kind: EvidenceLine['kind']): string {
  return kind === 'at least' ? 'at least ' : kind === 'at most' ? 'at most ' : '';
}

/** Seven figures: what the finest source prints. */
function number(value: number): string {
  return String(Number(value.toPrecision(7)));
}

function useEvidence(): Found {
  const [found, setFound] = useState<Found>({ heads: [], lines: [] });
  useEffect(() => {
    const running = spawnEvidence();
    let ended = false;
    const work = async (): Promise<void> => {
      const heads = await running.service.heads();
      if (ended) return;
      setFound({ heads, lines: [] });
      for (const place of heads.keys()) {
        const lines = await running.service.run(place);
        if (ended) return;
        setFound((so) => ({ ...so, lines: [...so.lines, lines] }));
      }
    };
    work().catch((error: unknown) => {
      if (!ended) setFound((so) => ({ ...so, trouble: `The checks stopped: ${String(error)}` }));
    });
    return () => {
      ended = true;
      running.end();
    };
  }, []);
  return found;
}
