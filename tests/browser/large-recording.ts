/** A large recording as the builder would choose it on the track page. */
import type { Page } from 'playwright-core';

/** Bytes each place takes in it. */
export const PLACE_BYTES = 83;

/** A recording of laps of some 790 m with about so many places, made in the page: sending it there would take longer. */
export function chooseRecording(page: Page, places: number, last = ''): Promise<void> {
  return page.getByLabel('Choose a course file').evaluate(
    (input, [count, end]) => {
      const lap = Array.from({ length: 1000 }, (_, i) => {
        const angle = (2 * Math.PI * i) / 1000;
        const r = 110 + 25 * Math.sin(3 * angle);
        const [lat, lon] = [50 + (r * Math.sin(angle)) / 111_230, 8 + (r * Math.cos(angle)) / 71_700];
        return `<trkpt lat="${lat.toFixed(8)}" lon="${lon.toFixed(8)}"><ele>${(200 + 3 * Math.sin(angle)).toFixed(2)}</ele></trkpt>               \n`;
      }).join('');
      const parts = [
        '<gpx version="1.1"><trk><name>Evening</name><trkseg>',
        ...Array.from({ length: count / 1000 }, () => lap),
        end,
        '</trkseg></trk></gpx>',
      ];
      const files = new DataTransfer();
      files.items.add(new File(parts, 'evening.gpx'));
      const chooser = input as HTMLInputElement;
      chooser.files = files.files;
      chooser.dispatchEvent(new Event('change', { bubbles: true }));
    },
    [places, last] as const,
  );
}
