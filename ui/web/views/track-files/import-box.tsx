/** A course from a file: choosing it, what it is refused for, the preview, and taking it as one step. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Problem } from '../../../../sim/index.ts';
import type { CourseFileRead } from '../../exchange/track-files/course-file.ts';
import { MAX_BYTES } from '../../exchange/track-files/course-file.ts';
import { readCourseFile, readText } from '../../exchange/track-files/read-course-file.ts';
import type { PlaceColumns } from '../../exchange/track-files/read-csv.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { ProblemList } from '../problem-list.tsx';
import { CourseChoice } from './course-choice.tsx';

interface Opened {
  readonly name: string;
  readonly text: string;
  readonly number: number;
}

export function ImportBox() {
  const [opened, setOpened] = useState<Opened | undefined>(undefined);
  const [refused, setRefused] = useState<{ name: string; problems: readonly Problem[] } | undefined>(
    undefined,
  );
  const [columns, setColumns] = useState<PlaceColumns | undefined>(undefined);
  const [taken, setTaken] = useState('');
  const [reading, setReading] = useState('');
  const count = useRef(0);
  const read = useMemo<CourseFileRead | undefined>(
    () => (opened === undefined ? undefined : readCourseFile(opened.text, columns)),
    [opened, columns],
  );
  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    count.current += 1;
    const number = count.current;
    const name = file.name.slice(0, 120);
    setOpened(undefined);
    setRefused(undefined);
    setTaken('');
    setColumns(undefined);
    setReading(`Reading ${name} …`);
    const { text, problems } = await readText(file);
    // Painted before the work begins.
    await new Promise((resolve) => setTimeout(resolve, 30));
    if (number !== count.current) return;
    setReading('');
    if (text === undefined) setRefused({ name, problems });
    else setOpened({ name, text, number });
  };
  const problems = refused?.problems ?? read?.problems ?? [];
  const name = refused?.name ?? opened?.name ?? '';
  const result = useRef<HTMLElement>(null);
  useEffect(() => {
    if (name !== '') result.current?.focus();
  }, [opened, refused]);
  const done = (words: string): void => {
    setOpened(undefined);
    setRefused(undefined);
    setTaken(words);
  };
  return (
    <fieldset
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        void take(event.dataTransfer?.files[0]);
      }}
    >
      <legend>A course from a file</legend>
      <p class="field-says">
        GPX, GeoJSON, KML or CSV, up to {MAX_BYTES / 1e6} MB. Nothing is changed before you have looked at it.
      </p>
      <div class="tool-row">
        <label class="file-choice">
          Choose a course file
          <input
            type="file"
            accept=".gpx,.geojson,.json,.kml,.csv,.tsv,.txt"
            onChange={(event) => {
              const input = event.currentTarget;
              void take(input.files?.[0]).then(() => {
                // The same file can be chosen again after it has been mended.
                input.value = '';
              });
            }}
          />
        </label>
      </div>
      <p class="field-says" role="status">
        {reading || taken}
      </p>
      {name === '' ? null : (
        <section class="file-result" ref={result} tabIndex={-1} aria-label={`The file ${name}`}>
          {problems.length > 0 ? (
            <>
              <p>
                <strong>{name}</strong> was not taken; the project is as it was.
              </p>
              <ProblemList problems={problems} />
            </>
          ) : null}
          {read?.file?.kind === 'CSV' || (columns !== undefined && read !== undefined) ? (
            <ChoiceField
              label="The columns of the place are"
              value={columns ?? ''}
              options={[
                { value: '', text: 'as understood below' },
                { value: 'x, y', text: 'east and north in metres' },
                { value: 'latitude, longitude', text: 'latitude, then longitude' },
                { value: 'longitude, latitude', text: 'longitude, then latitude' },
              ]}
              onChoice={(value) => setColumns(value === '' ? undefined : (value as PlaceColumns))}
            />
          ) : null}
          {read?.file === undefined || opened === undefined ? null : (
            <CourseChoice
              key={`${opened.number} ${columns ?? ''}`}
              fileName={opened.name}
              file={read.file}
              onDone={done}
            />
          )}
          <div class="tool-row">
            <button type="button" onClick={() => done('')}>
              Put the file aside
            </button>
          </div>
        </section>
      )}
    </fieldset>
  );
}
