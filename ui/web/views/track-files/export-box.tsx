/** The chosen track into a file; where on earth its start is to lie is typed, or stands at a stated nowhere. */
import { useId, useState } from 'preact/hooks';
import { EXTENSION, fileName } from '../../exchange/project-file.ts';
import { saveBlob } from '../../exchange/save-file.ts';
import { placeInNote } from '../../exchange/track-files/place-note.ts';
import type { Format } from '../../exchange/track-files/write-course.ts';
import { FORMATS, isNowhere, writtenCourse } from '../../exchange/track-files/write-course.ts';
import { ChoiceField } from '../../forms/choice-field.tsx';
import { useWorkbench } from '../../state/context.ts';

const SAYS: Readonly<Record<Format, string>> = {
  GPX: 'A track for receivers and map programs, with heights.',
  GeoJSON: 'A line for map programs, with heights.',
  KML: 'A line for globes and map programs, with heights.',
  CSV: 'A table in metres: x, y, height, width, surface. It carries most.',
  SVG: 'A drawing with the width of the track, one unit to the metre. It cannot be read back.',
};

export function ExportBox() {
  const workbench = useWorkbench();
  const { track: id } = workbench.choice.value;
  const track = workbench.project.value.tracks[id];
  const [format, setFormat] = useState<Format>('GPX');
  const [typed, setTyped] = useState<{ of: string; latitude: string; longitude: string } | undefined>(
    undefined,
  );
  const [said, setSaid] = useState('');
  if (track === undefined) return null;
  const known = placeInNote(track.note);
  const now =
    typed?.of === id
      ? typed
      : { of: id, latitude: String(known?.latitude ?? 0), longitude: String(known?.longitude ?? 0) };
  const origin = { latitude: degreesIn(now.latitude, 90), longitude: degreesIn(now.longitude, 180) };
  const { latitude, longitude } = origin;
  const onEarth = format !== 'CSV' && format !== 'SVG';
  const place = latitude === undefined || longitude === undefined ? undefined : { latitude, longitude };
  const save = (): void => {
    const course = writtenCourse(track, format, place ?? { latitude: 0, longitude: 0 });
    if (course === undefined) {
      setSaid('This track cannot be laid out; the problems are told above.');
      return;
    }
    const name = `${fileName(track.name).slice(0, -EXTENSION.length)}${course.ending}`;
    saveBlob(name, new Blob([course.text], { type: course.type }));
    setSaid(`Saved as ${name}.`);
  };
  return (
    <fieldset>
      <legend>This course into a file</legend>
      <ChoiceField
        label="As"
        value={format}
        options={FORMATS.map((value) => ({ value, text: value }))}
        hint={SAYS[format]}
        onChoice={(value) => setFormat(value as Format)}
      />
      {onEarth ? (
        <>
          <div class="file-decisions">
            <Degrees
              label="Latitude of the start"
              text={now.latitude}
              most={90}
              onText={(text) => setTyped({ ...now, latitude: text })}
            />
            <Degrees
              label="Longitude of the start"
              text={now.longitude}
              most={180}
              onText={(text) => setTyped({ ...now, longitude: text })}
            />
          </div>
          <p class="field-says">
            {place === undefined || !isNowhere(place)
              ? 'South and west are negative. North on the drawing is taken to be north.'
              : 'A drawn course has no place on earth. It will stand at 0° N, 0° E, out in the ocean: shape, size and direction are right, the place is not. Type where its start really is if you know.'}
          </p>
        </>
      ) : null}
      <div class="tool-row">
        <button type="button" disabled={onEarth && place === undefined} onClick={save}>
          Save as {format}
        </button>
        <span class="field-says" role="status">
          {said}
        </span>
      </div>
    </fieldset>
  );
}

interface DegreesProps {
  readonly label: string;
  readonly text: string;
  readonly most: number;
  readonly onText: (text: string) => void;
}

function Degrees({ label, text, most, onText }: DegreesProps) {
  const id = useId();
  const refused = degreesIn(text, most) === undefined;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="text"
        autocomplete="off"
        value={text}
        aria-invalid={refused}
        aria-describedby={`${id}-says`}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      <p id={`${id}-says`} class="field-says refused" role="status">
        {refused ? `A number of degrees from -${most} to ${most}, such as 12.34567.` : ''}
      </p>
    </div>
  );
}

/** "51,5", "51.5 N", "0.25° W" as degrees. */
function degreesIn(text: string, most: number): number | undefined {
  const found = /^\s*([+\-−]?\d{1,3}(?:[.,]\d{1,15})?)\s*°?\s*([NSEW])?\s*$/i.exec(text);
  if (found === null) return undefined;
  const letter = found[2]?.toUpperCase();
  if (letter !== undefined && !(most === 90 ? 'NS' : 'EW').includes(letter)) return undefined;
  const number = Number(found[1]!.replace('−', '-').replace(',', '.'));
  const degrees = letter === 'S' || letter === 'W' ? -number : number;
  return Math.abs(degrees) <= most ? degrees : undefined;
}
