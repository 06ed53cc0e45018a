/** Courses from files and into files: the panel of the Track page, loaded when it is opened. */
import '../../look/track-files.css';
import { ExportBox } from './export-box.tsx';
import { ImportBox } from './import-box.tsx';

export function TrackFiles() {
  return (
    <div class="track-files">
      <ImportBox />
      <ExportBox />
    </div>
  );
}
