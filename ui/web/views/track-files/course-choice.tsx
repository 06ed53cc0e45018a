/** The preview of a course from a file: which line, which lap, how its ends meet, how far it may move, what lies on it. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Ends } from '../../exchange/track-files/course-ends.ts';
import type { FactsAnswer, FileContents, ShapeAnswer } from '../../exchange/track-files/course-reader.ts';
import type { CourseReading } from '../../exchange/track-files/course-reading.ts';
import { trackOf } from '../../exchange/track-files/course-to-track.ts';
import { likeliestLap } from '../../exchange/track-files/laps.ts';
import type { Decisions } from '../../exchange/track-files/shape-course.ts';
import { EXACT, OF_A_RECORDING } from '../../exchange/track-files/shape-course.ts';
import { ChoiceField, named } from '../../forms/choice-field.tsx';
import { QuantityField } from '../../forms/quantity-field.tsx';
import { useWorkbench } from '../../state/context.ts';
import { addPart } from '../../state/part-commands.ts';
import { ProblemList } from '../problem-list.tsx';
import { CoursePicture } from './course-picture.tsx';
import { endsWords, movedWords, noiseWords, sizeWords } from './course-words.ts';

export interface CourseChoiceProps {
  readonly fileName: string;
  readonly contents: FileContents;
  readonly reading: CourseReading;
  readonly onDone: (words: string) => void;
}

const TOLERANCES: readonly (readonly [metres: number, text: string])[] = [
  [0, 'not at all: every place kept'],
  [EXACT, '5 mm'],
  [0.05, '5 cm'],
  [0.2, '20 cm'],
  [0.5, '50 cm'],
  [1, '1 m'],
  [2, '2 m'],
  [5, '5 m'],
];

export function CourseChoice({ fileName, contents, reading, onDone }: CourseChoiceProps) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const current = project.tracks[workbench.choice.value.track];
  const [line, setLine] = useState(0);
  const course = contents.lines[line]!;
  const { facts, problems } = useFacts(reading, line);
  const guess = useMemo<Decisions>(
    () => ({
      lap: facts === undefined || facts.laps.length === 0 ? undefined : likeliestLap(facts.laps),
      ends: undefined,
      tolerance: facts?.recorded ? OF_A_RECORDING : EXACT,
      calm: facts?.recorded ?? false,
      // Of a table they were measured; a receiver's are a guess.
      heights: false,
    }),
    [facts],
  );
  const [changed, setChanged] = useState<{ of: Decisions; decisions: Decisions } | undefined>(undefined);
  const decisions = changed?.of === guess ? changed.decisions : guess;
  const decide = (part: Partial<Decisions>): void =>
    setChanged({ of: guess, decisions: { ...decisions, ...part } });
  const grounds = Object.keys(project.surfaces);
  const { shape, isLaying } = useShape(reading, facts === undefined ? undefined : line, decisions, grounds);
  const [name, setName] = useState<string | undefined>(undefined);
  const [surface, setSurface] = useState(current?.surface ?? grounds[0] ?? '');
  const [width, setWidth] = useState({ value: current?.width ?? 6, text: `${current?.width ?? 6} m` });
  const [withPlace, setWithPlace] = useState(true);
  const { shaped } = shape;
  const given = name ?? (course.name || fileName.replace(/\.[^.]*$/, '') || 'Course from a file');

  const apply = (): void => {
    if (shaped === undefined || isLaying) return;
    const track = trackOf(shaped, decisions.heights, grounds, {
      name: given.trim().slice(0, 120) || 'Course from a file',
      surface,
      width: width.text,
      fileName,
      origin: withPlace ? shaped.start : undefined,
    });
    const added = addPart(workbench.document.peek(), 'tracks', 'from-file', track);
    workbench.edit({ ...added.command, label: `${String(track['name'])} from ${fileName.slice(0, 40)}` });
    workbench.choose({ track: added.id });
    onDone(`“${String(track['name'])}” is now the chosen track. Undo takes it back.`);
  };

  return (
    <>
      <p>
        <strong>{fileName}</strong>: {contents.kind},{' '}
        {contents.lines.length === 1 ? 'one line' : `${contents.lines.length} lines`} of places.
      </p>
      {contents.remarks.length === 0 ? null : (
        <ul class="field-says file-remarks">
          {contents.remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      {contents.lines.length === 1 ? null : (
        <ChoiceField
          label="Which line"
          value={String(line)}
          options={contents.lines.map(({ name: called, from, count }, i) => ({
            value: String(i),
            text: `${called === '' ? from : `${called} (${from})`}, ${count} places`,
          }))}
          onChoice={(value) => setLine(Number(value))}
        />
      )}
      {facts === undefined || facts.laps.length === 0 ? null : (
        <ChoiceField
          label="Laps"
          value={decisions.lap === undefined ? 'all' : String(decisions.lap)}
          hint="The recording comes back to the same place in the same direction: one lap can be cut out."
          options={[
            ...facts.laps.map(({ length, time }, i) => ({
              value: String(i),
              text: `lap ${i + 1}: ${length.toFixed(0)} m${time === undefined ? '' : `, ${time.toFixed(1)} s`}`,
            })),
            { value: 'all', text: 'all of it, uncut' },
          ]}
          onChoice={(value) => decide({ lap: value === 'all' ? undefined : Number(value), ends: undefined })}
        />
      )}
      <ProblemList problems={[...problems, ...shape.problems]} />
      {shaped === undefined && isLaying ? (
        <p class="field-says" role="status">
          Laying the course through its places …
        </p>
      ) : null}
      {shaped === undefined || facts === undefined ? null : (
        <>
          <CoursePicture shaped={shaped} />
          <p class="file-facts" role="status">
            {isLaying ? 'Laying the course anew …' : `${sizeWords(shaped)} ${movedWords(shaped, decisions)}`}
          </p>
          <div class="file-decisions">
            <ChoiceField
              label="Ends"
              value={shaped.ends.used}
              hint={endsWords(shaped)}
              options={[
                { value: 'open', text: 'open: a start and a finish' },
                { value: 'joined', text: 'closed: the gap is driven' },
                { value: 'spread', text: 'closed: the gap spread over the course' },
              ]}
              onChoice={(value) => decide({ ends: value as Ends })}
            />
            <ChoiceField
              label="The course may move by at most"
              value={String(decisions.tolerance)}
              hint="The more, the fewer control points are left to work with."
              options={TOLERANCES.map(([metres, text]) => ({ value: String(metres), text }))}
              onChoice={(value) => decide({ tolerance: Number(value) })}
            />
            <ChoiceField
              label="Ground, where the file names none"
              value={surface}
              options={named(project.surfaces)}
              onChoice={setSurface}
            />
            <QuantityField
              label="Width, where the file gives none"
              of="width of the course from a file"
              name="width"
              shown="m"
              echoed={['ft']}
              value={width.value}
              onValue={(value, text) =>
                setWidth({ value, text: /^[\d.\s]+$/.test(text) ? `${text.trim()} m` : text })
              }
            />
            <label class="field">
              <span class="file-label">Name</span>
              <input
                type="text"
                maxLength={120}
                value={given}
                onInput={(event) => setName(event.currentTarget.value)}
              />
            </label>
          </div>
          {facts.recorded ? (
            <Tick
              text="Take the jitter of the recording out"
              checked={decisions.calm}
              onChange={(calm) => decide({ calm })}
            />
          ) : null}
          {shaped.heightRange === undefined ? null : (
            <Tick
              text={`Take the heights, ${shaped.heightRange.least.toFixed(1)} to ${shaped.heightRange.most.toFixed(1)} m`}
              checked={decisions.heights}
              onChange={(heights) => decide({ heights })}
            />
          )}
          {facts.onEarth ? (
            <Tick
              text="Write into the note where on earth it starts"
              checked={withPlace}
              onChange={setWithPlace}
            />
          ) : null}
          <ul class="file-remarks">
            {noiseWords(shaped, facts).map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <div class="tool-row">
            <button type="button" onClick={apply} disabled={surface === '' || isLaying}>
              Take this course
            </button>
            <span class="field-says">One step; Undo takes it back.</span>
          </div>
        </>
      )}
    </>
  );
}

/** What is known of one line of the file; nothing while it is being looked over. */
function useFacts(reading: CourseReading, line: number): FactsAnswer {
  const [answer, setAnswer] = useState<FactsAnswer & { readonly line: number }>({ line: -1, problems: [] });
  useEffect(() => {
    let left = false;
    void reading.lookOver(line).then((found) => {
      if (!left) setAnswer({ ...found, line });
    });
    return () => {
      left = true;
    };
  }, [reading, line]);
  return answer.line === line ? answer : NOTHING_YET;
}

const NOTHING_YET: FactsAnswer & ShapeAnswer = { problems: [] };

/** The course as decided, and whether it is still being laid: then the one before stands, of the same line. */
function useShape(
  reading: CourseReading,
  line: number | undefined,
  decisions: Decisions,
  grounds: readonly string[],
): { readonly shape: ShapeAnswer; readonly isLaying: boolean } {
  const [answer, setAnswer] = useState<{ of: object; line: number; shape: ShapeAnswer } | undefined>(
    undefined,
  );
  const names = grounds.join();
  const wanted = useMemo(() => ({ line, decisions, grounds }), [line, decisions, names]);
  const newest = useRef(wanted);
  newest.current = wanted;
  // One after the other, and only the newest: who tries several settings quickly waits for one.
  const queue = useRef(Promise.resolve());
  useEffect(() => {
    if (line === undefined) return;
    queue.current = queue.current.then(async () => {
      if (newest.current !== wanted) return;
      const shape = await reading.shape(line, decisions, grounds);
      if (newest.current === wanted) setAnswer({ of: wanted, line, shape });
    });
  }, [wanted]);
  return {
    shape: answer === undefined || answer.line !== line ? NOTHING_YET : answer.shape,
    isLaying: line !== undefined && answer?.of !== wanted,
  };
}

function Tick({
  text,
  checked,
  onChange,
}: {
  readonly text: string;
  readonly checked: boolean;
  readonly onChange: (checked: boolean) => void;
}) {
  return (
    <label class="file-tick">
      <input type="checkbox" checked={checked} onChange={(event) => onChange(event.currentTarget.checked)} />
      <span>{text}</span>
    </label>
  );
}
