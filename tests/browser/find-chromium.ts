/** Finds an installed Chromium or Chrome: CHROME_PATH first, then the usual names and places. */
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome', 'chrome'];
const PLACES = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
];

type Environment = Readonly<Record<string, string | undefined>>;

export function findChromium(environment: Environment = process.env): string | undefined {
  const asked = environment['CHROME_PATH'];
  const folders = (environment['PATH'] ?? '').split(delimiter).filter((folder) => folder !== '');
  const named = NAMES.flatMap((name) => folders.map((folder) => join(folder, name)));
  const candidates = [...(asked === undefined ? [] : [asked]), ...named, ...PLACES];
  return candidates.find(isExecutable);
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
