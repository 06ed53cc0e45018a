/** The closed door to courses from and into files: what is behind it is fetched when it is opened. */
import { useState } from 'preact/hooks';
import { loadedView } from '../loaded-view.tsx';

const Loaded = loadedView(() => import('./track-files.tsx').then((m) => m.TrackFiles));

export function TrackFilesCard() {
  const [open, setOpen] = useState(false);
  return (
    <section class="card" aria-labelledby="track-files-title">
      <h3 id="track-files-title">Courses from files and into files</h3>
      <p>
        A recording of a satellite receiver, a line drawn on a map, a table of measured places: GPX, GeoJSON,
        KML or CSV. Files are read here and sent nowhere.
      </p>
      <details class="behind" onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>Take a course from a file, or save this one</summary>
        {open ? <Loaded /> : null}
      </details>
    </section>
  );
}
