/** A course from a file: choosing it, its reading beside the page, what it is refused for, the preview, taking it. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { MAX_BYTES } from '../../exchange/track-files/course-file.ts';
import type { FileAnswer } from '../../exchange/track-files/course-reader.ts';
import type { CourseReading } from '../../exchange/track-files/course-reading.ts';
import { beginReading } from '../../exchange/track-files/course-reading.ts';
import type { PlaceColumns } from '../../exchange/track-files/read-csv.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { ProblemList } from '../problem-list.tsx';
import { CourseChoice } from './course-choice.tsx';

interface Opened {
  readonly name: string;
  /** Changes with every reading: decisions on the one before are of no use. */
  readonly version: number;
  readonly reading: CourseReading;
  readonly answer: FileAnswer;
}

export function ImportBox() {
  const [opened, setOpened] = useState<Opened | undefined>(undefined);
  const [busy, setBusy] = useState<{ readonly name: string; readonly places: number } | undefined>(undefined);
  const [columns, setColumns] = useState<PlaceColumns | undefined>(undefined);
  const [taken, setTaken] = useState('');
  const version = useRef(0);
  const reading = useRef<CourseReading | undefined>(undefined);
  const chooser = useRef<HTMLInputElement>(null);
  const result = useRef<HTMLElement>(null);

  /** Ends whatever is being read or looked at; `words` say why. */
  const putAside = (words: string): void => {
    reading.current?.end();
    reading.current = undefined;
    version.current += 1;
    setOpened(undefined);
    setBusy(undefined);
    setColumns(undefined);
    setTaken(words);
  };
  useEffect(() => () => reading.current?.end(), []);
  useEffect(() => {
    if (opened !== undefined) result.current?.focus();
  }, [opened?.name, opened?.reading]);

  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    putAside('');
    const now = version.current;
    const name = file.name.slice(0, 120);
    const begun = beginReading();
    reading.current = begun;
    setBusy({ name, places: 0 });
    const answer = await begun.read(file, (places) => {
      if (now === version.current) setBusy({ name, places });
    });
    if (now !== version.current) return;
    setBusy(undefined);
    if (answer.contents === undefined) begun.end();
    setOpened({ name, version: now, reading: begun, answer });
  };
  const readAgain = async (of: Opened, chosen: PlaceColumns | undefined): Promise<void> => {
    version.current += 1;
    const now = version.current;
    setColumns(chosen);
    const answer = await of.reading.readAgain(chosen);
    if (now === version.current) setOpened({ ...of, version: now, answer });
  };
  const stop = (name: string): void => {
    putAside(`Stopped: ${name} was not read to its end; the project is as it was.`);
    chooser.current?.focus();
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
            ref={chooser}
            type="file"
            accept=".gpx,.geojson,.json,.kml,.csv,.tsv,.txt"
            onChange={(event) => {
              const input = event.currentTarget;
              void take(input.files?.[0]);
              // The same file can be chosen again after it has been mended.
              input.value = '';
            }}
          />
        </label>
      </div>
      <p class="field-says" role="status">
        {busy === undefined ? taken : `Reading ${busy.name} …`}
      </p>
      {busy === undefined ? null : (
        <div class="tool-row">
          <button type="button" onClick={() => stop(busy.name)}>
            Stop
          </button>
          {/* Not spoken: it changes many times a second. */}
          <span class="field-says file-so-far">
            {busy.places === 0 ? '' : `${Math.floor(busy.places / 1000)} thousand places so far`}
          </span>
        </div>
      )}
      {opened === undefined ? null : (
        <section class="file-result" ref={result} tabIndex={-1} aria-label={`The file ${opened.name}`}>
          {opened.answer.problems.length > 0 ? (
            <>
              <p>
                <strong>{opened.name}</strong> was not taken; the project is as it was.
              </p>
              <ProblemList problems={opened.answer.problems} />
            </>
          ) : null}
          {opened.answer.contents?.kind === 'CSV' || columns !== undefined ? (
            <ChoiceField
              label="The columns of the place are"
              value={columns ?? ''}
              options={[
                { value: '', text: 'as understood below' },
                { value: 'x, y', text: 'east and north in metres' },
                { value: 'latitude, longitude', text: 'latitude, then longitude' },
                { value: 'longitude, latitude', text: 'longitude, then latitude' },
              ]}
              onChoice={(value) => void readAgain(opened, value === '' ? undefined : (value as PlaceColumns))}
            />
          ) : null}
          {opened.answer.contents === undefined ? null : (
            <CourseChoice
              key={opened.version}
              fileName={opened.name}
              contents={opened.answer.contents}
              reading={opened.reading}
              onDone={putAside}
            />
          )}
          <div class="tool-row">
            <button type="button" onClick={() => putAside('')}>
              Put the file aside
            </button>
          </div>
        </section>
      )}
    </fieldset>
  );
}
