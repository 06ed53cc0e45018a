/**
 * A sheet pasted or opened: what its columns hold is guessed, shown and confirmed before anything is put in place.
 */
import { useId } from 'preact/hooks';
import type { PointsSpec } from '../../../../sim/index.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { inTableWords } from '../../forms/curve-points.ts';
import { useKept } from '../../forms/kept-while-open.ts';
import type { ColumnKind, PastedCurve } from '../../forms/paste-curve.ts';
import { curveOf, guessCurve, hasSharedSpeeds, UNITS_OF_KIND, withColumn } from '../../forms/paste-curve.ts';
import { MAX_PASTED } from '../../forms/paste-table.ts';
import { ProblemList } from '../problem-list.tsx';
import { CurvePlot, readCurve } from './curve-plot.tsx';

export interface PasteCurveProps {
  readonly path: string;
  readonly isDrag: boolean;
  readonly onPoints: (points: PointsSpec) => void;
}

interface Pasted {
  readonly text: string;
  readonly guess: PastedCurve | undefined;
  readonly mean: boolean;
  readonly trouble?: string;
}

const EMPTY: Pasted = { text: '', guess: undefined, mean: false };
/** Rows of the sheet shown for a look. */
const PREVIEW = 6;
/** Columns of the sheet shown: logs may have dozens, and the rest is left out anyway. */
const MOST_COLUMNS = 12;

export function PasteCurve({ path, isDrag, onPoints }: PasteCurveProps) {
  const kept = useKept<Pasted>(`${path} pasted`, EMPTY);
  const id = useId();
  const { text, guess, mean, trouble } = kept.value;
  const take = (next: string): void => {
    const found = guessCurve(next);
    kept.value = { ...EMPTY, text: next, guess: found };
  };
  const open = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    if (file.size > MAX_PASTED) {
      kept.value = {
        ...EMPTY,
        trouble: `${file.name.slice(0, 80)} is too large for a dyno sheet (${(file.size / 1e6).toFixed(1)} MB; up to 1 MB is read).`,
      };
      return;
    }
    try {
      take(await file.text());
    } catch {
      kept.value = { ...EMPTY, trouble: 'The file could not be read: choose it again.' };
    }
  };
  return (
    <details class="tool">
      <summary>Paste a sheet or open a CSV file</summary>
      <div class="tool-body">
        <div class="field">
          <label for={id}>Rows of the sheet, with their headings</label>
          <textarea
            id={id}
            rows={4}
            spellcheck={false}
            value={text}
            placeholder={isDrag ? 'rpm; Nm' : 'rpm; Nm   or   n (1/min), hp'}
            aria-describedby={`${id}-says`}
            onInput={(event) => take(event.currentTarget.value)}
            onDragOver={(event) => event.preventDefault()}
            onDrop={(event) => {
              const file = event.dataTransfer?.files[0];
              if (file === undefined) return;
              event.preventDefault();
              void open(file);
            }}
          />
          <p id={`${id}-says`} class="field-says">
            Semicolons, tabs or commas between, any of the usual units; nothing changes until you say so.
          </p>
        </div>
        <p class="actions">
          <label class="file-choice">
            Open a CSV file
            <input
              type="file"
              accept=".csv,.tsv,.txt,text/csv,text/plain"
              onChange={(event) => {
                const input = event.currentTarget;
                void open(input.files?.[0]).then(() => {
                  input.value = '';
                });
              }}
            />
          </label>
        </p>
        {trouble === undefined ? null : <p class="caution">{trouble}</p>}
        {guess === undefined ? (
          text.trim() === '' ? null : (
            <p class="field-says refused" role="status">
              No rows of figures found. Paste two columns or more, one row for each engine speed.
            </p>
          )
        ) : (
          <Confirm
            guess={guess}
            mean={mean}
            isDrag={isDrag}
            onGuess={(next) => {
              kept.value = { ...kept.value, guess: next };
            }}
            onMean={(next) => {
              kept.value = { ...kept.value, mean: next };
            }}
            onUse={(points) => {
              onPoints(points);
              kept.value = EMPTY;
            }}
            onLeave={() => {
              kept.value = EMPTY;
            }}
          />
        )}
      </div>
    </details>
  );
}

interface ConfirmProps {
  readonly guess: PastedCurve;
  readonly mean: boolean;
  readonly isDrag: boolean;
  readonly onGuess: (guess: PastedCurve) => void;
  readonly onMean: (mean: boolean) => void;
  readonly onUse: (points: PointsSpec) => void;
  readonly onLeave: () => void;
}

const BETWEEN = {
  tab: 'tabs',
  semicolon: 'semicolons',
  bar: 'bars',
  comma: 'commas',
  spaces: 'spaces',
} as const;

function Confirm({ guess, mean, isDrag, onGuess, onMean, onUse, onLeave }: ConfirmProps) {
  const found = curveOf(guess, { mean });
  const read = found.ok ? readCurve(found.spec, isDrag) : undefined;
  const unsure = guess.columns.filter((column) => column.kind !== 'leave out' && !column.sure);
  return (
    <section class="confirm" aria-label="What was understood">
      <p>
        <b>{guess.rows.length} rows</b> with {BETWEEN[guess.separator]} between.{' '}
        {unsure.length === 0
          ? 'Check what each column holds.'
          : 'Nothing in the sheet says what the columns marked “guessed” hold, or in which unit: check them.'}
      </p>
      <div class="pasted-columns">
        {guess.columns.slice(0, MOST_COLUMNS).map((column, j) => (
          <PastedColumnChoice
            // The order of the columns is what they are known by.
            key={`${j} ${column.heading}`}
            guess={guess}
            at={j}
            isDrag={isDrag}
            onGuess={onGuess}
          />
        ))}
      </div>
      <div class="pair">
        <ChoiceField
          label="Decimals are marked by"
          value={guess.decimal}
          options={[
            { value: '.', text: 'a point: 34.5' },
            { value: ',', text: 'a comma: 34,5' },
          ]}
          onChoice={(decimal) => onGuess({ ...guess, decimal: decimal === ',' ? ',' : '.' })}
        />
      </div>
      {hasSharedSpeeds(guess) || mean ? (
        <label class="tick">
          <input type="checkbox" checked={mean} onChange={(event) => onMean(event.currentTarget.checked)} />
          <span>Take the mean of points at one engine speed</span>
        </label>
      ) : null}
      {found.ok ? (
        <>
          {found.remarks.map((remark) => (
            <p key={remark} class="field-says">
              {remark}
            </p>
          ))}
          <ProblemList problems={(read?.problems ?? []).map((found) => inTableWords(found, 'row'))} />
          <CurvePlot read={read} spec={found.spec} isDrag={isDrag} />
        </>
      ) : (
        <p class="field-says refused" role="status">
          {found.why}
        </p>
      )}
      <p class="actions">
        <button
          type="button"
          disabled={!found.ok || read?.points === undefined}
          onClick={() => {
            if (found.ok) onUse(found.spec);
          }}
        >
          {found.ok ? `Use these ${found.spec.rows.length} points` : 'Use these points'}
        </button>
        <button type="button" class="quiet" onClick={onLeave}>
          Leave it
        </button>
      </p>
    </section>
  );
}

interface PastedColumnChoiceProps {
  readonly guess: PastedCurve;
  readonly at: number;
  readonly isDrag: boolean;
  readonly onGuess: (guess: PastedCurve) => void;
}

function PastedColumnChoice({ guess, at, isDrag, onGuess }: PastedColumnChoiceProps) {
  const column = guess.columns[at]!;
  const name = column.heading === '' ? `column ${at + 1}` : column.heading.slice(0, 40);
  const kinds: readonly ColumnKind[] = [
    'engine speed',
    'torque',
    ...(isDrag ? [] : (['power'] as const)),
    'road speed',
    'leave out',
  ];
  const units = UNITS_OF_KIND[column.kind];
  return (
    <div class="pasted-column">
      <ChoiceField
        label={`“${name}” is`}
        value={column.kind}
        options={kinds.map((kind) => ({ value: kind, text: kind }))}
        onChoice={(kind) => onGuess(withColumn(guess, at, kind as ColumnKind))}
      />
      {units.length === 0 ? null : (
        <ChoiceField
          label={`in${column.sure ? '' : ' (guessed)'}`}
          value={column.unit}
          options={units.map((unit) => ({ value: unit, text: unit }))}
          onChoice={(unit) => onGuess(withColumn(guess, at, column.kind, unit))}
        />
      )}
      <p class="field-says pasted-cells">
        {guess.rows
          .slice(0, PREVIEW)
          .map((row) => row[at] ?? '')
          .join(' · ')}
        {guess.rows.length > PREVIEW ? ' …' : ''}
      </p>
    </div>
  );
}
