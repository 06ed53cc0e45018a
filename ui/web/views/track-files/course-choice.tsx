/** The preview of a course from a file: which line, which lap, how its ends meet, how far it may move, what lies on it. */
import { useMemo, useState } from 'preact/hooks';
import type { Ends } from '../../exchange/track-files/course-ends.ts';
import type { CourseFile } from '../../exchange/track-files/course-file.ts';
import type { Decisions } from '../../exchange/track-files/course-to-track.ts';
import {
  EXACT,
  lookOver,
  OF_A_RECORDING,
  shapeCourse,
  trackOf,
} from '../../exchange/track-files/course-to-track.ts';
import { likeliestLap } from '../../exchange/track-files/laps.ts';
import { ChoiceField, named } from '../../forms/choice-field.tsx';
import { QuantityField } from '../../forms/quantity-field.tsx';
import { useWorkbench } from '../../state/context.ts';
import { addPart } from '../../state/part-commands.ts';
import { ProblemList } from '../problem-list.tsx';
import { CoursePicture } from './course-picture.tsx';
import { endsWords, movedWords, noiseWords, sizeWords } from './course-words.ts';

export interface CourseChoiceProps {
  readonly fileName: string;
  readonly file: CourseFile;
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

export function CourseChoice({ fileName, file, onDone }: CourseChoiceProps) {
  const workbench = useWorkbench();
  const project = workbench.project.value;
  const current = project.tracks[workbench.choice.value.track];
  const [line, setLine] = useState(0);
  const course = file.courses[line]!;
  const { looked, problems } = useMemo(() => lookOver(course), [course]);
  const guess = useMemo<Decisions>(
    () => ({
      lap: looked === undefined || looked.laps.length === 0 ? undefined : likeliestLap(looked.laps),
      ends: undefined,
      tolerance: looked?.recorded ? OF_A_RECORDING : EXACT,
      calm: looked?.recorded ?? false,
      // Of a table they were measured; a receiver's are a guess.
      heights: false,
    }),
    [looked],
  );
  const [changed, setChanged] = useState<{ of: Decisions; decisions: Decisions } | undefined>(undefined);
  const decisions = changed?.of === guess ? changed.decisions : guess;
  const decide = (part: Partial<Decisions>): void =>
    setChanged({ of: guess, decisions: { ...decisions, ...part } });
  const grounds = Object.keys(project.surfaces);
  const shape = useMemo(
    () => (looked === undefined ? { problems } : shapeCourse(looked, decisions, grounds)),
    [looked, decisions, grounds.join()],
  );
  const [name, setName] = useState<string | undefined>(undefined);
  const [surface, setSurface] = useState(current?.surface ?? grounds[0] ?? '');
  const [width, setWidth] = useState({ value: current?.width ?? 6, text: `${current?.width ?? 6} m` });
  const [withPlace, setWithPlace] = useState(true);
  const shaped = 'shaped' in shape ? shape.shaped : undefined;
  const given = name ?? (course.name || fileName.replace(/\.[^.]*$/, '') || 'Course from a file');
  const origin = looked?.ground.origin;

  const apply = (): void => {
    if (shaped === undefined || looked === undefined) return;
    const start = shaped.fitted.points[0]!;
    const track = trackOf(shaped, decisions.heights, grounds, {
      name: given.trim().slice(0, 120) || 'Course from a file',
      surface,
      width: width.text,
      fileName,
      origin: withPlace && origin !== undefined ? looked.placeOf(start) : undefined,
    });
    const added = addPart(workbench.document.peek(), 'tracks', 'from-file', track);
    workbench.edit({ ...added.command, label: `${String(track['name'])} from ${fileName.slice(0, 40)}` });
    workbench.choose({ track: added.id });
    onDone(`“${String(track['name'])}” is now the chosen track. Undo takes it back.`);
  };

  return (
    <>
      <p>
        <strong>{fileName}</strong>: {file.kind},{' '}
        {file.courses.length === 1 ? 'one line' : `${file.courses.length} lines`} of places.
      </p>
      {file.remarks.length === 0 ? null : (
        <ul class="field-says file-remarks">
          {file.remarks.map((remark) => (
            <li key={remark}>{remark}</li>
          ))}
        </ul>
      )}
      {file.courses.length === 1 ? null : (
        <ChoiceField
          label="Which line"
          value={String(line)}
          options={file.courses.map(({ name: called, from, places }, i) => ({
            value: String(i),
            text: `${called === '' ? from : `${called} (${from})`}, ${places.length} places`,
          }))}
          onChoice={(value) => setLine(Number(value))}
        />
      )}
      {looked === undefined || looked.laps.length === 0 ? null : (
        <ChoiceField
          label="Laps"
          value={decisions.lap === undefined ? 'all' : String(decisions.lap)}
          hint="The recording comes back to the same place in the same direction: one lap can be cut out."
          options={[
            ...looked.laps.map(({ length, time }, i) => ({
              value: String(i),
              text: `lap ${i + 1}: ${length.toFixed(0)} m${time === undefined ? '' : `, ${time.toFixed(1)} s`}`,
            })),
            { value: 'all', text: 'all of it, uncut' },
          ]}
          onChoice={(value) => decide({ lap: value === 'all' ? undefined : Number(value), ends: undefined })}
        />
      )}
      <ProblemList problems={shape.problems} />
      {shaped === undefined || looked === undefined ? null : (
        <>
          <CoursePicture shaped={shaped} />
          <p class="file-facts" role="status">
            {sizeWords(shaped)} {movedWords(shaped, decisions)}
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
          {looked.recorded ? (
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
          {origin === undefined ? null : (
            <Tick
              text="Write into the note where on earth it starts"
              checked={withPlace}
              onChange={setWithPlace}
            />
          )}
          <ul class="file-remarks">
            {noiseWords(shaped, looked).map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
          <div class="tool-row">
            <button type="button" onClick={apply} disabled={surface === ''}>
              Take this course
            </button>
            <span class="field-says">One step; Undo takes it back.</span>
          </div>
        </>
      )}
    </>
  );
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
