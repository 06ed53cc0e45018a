/**
 * Set-up of the browser tests: finds Chromium, serves dist/web by Vite's preview, and tells both to the tests.
 *
 * No Chromium: the tests are skipped and the reason is printed. No built page: the run fails.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { preview } from 'vite';
import type { TestProject } from 'vitest/node';
import { findChromium } from './find-chromium.ts';

declare module 'vitest' {
  export interface ProvidedContext {
    chromium: string;
    pageAddress: string;
  }
}

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export default async function serveBuiltPage(
  project: TestProject,
): Promise<(() => Promise<void>) | undefined> {
  const chromium = findChromium();
  project.provide('chromium', chromium ?? '');
  project.provide('pageAddress', '');
  if (chromium === undefined) {
    console.warn('Browser tests skipped: no Chromium or Chrome found (install one or set CHROME_PATH).');
    return undefined;
  }
  if (!existsSync(`${ROOT}dist/web/index.html`)) {
    throw new Error('dist/web/index.html is missing: run `npm run build` before the browser tests');
  }
  const server = await preview({
    configFile: `${ROOT}vite.config.ts`,
    logLevel: 'error',
    preview: { host: '127.0.0.1', port: 0, open: false },
  });
  const address = server.resolvedUrls?.local[0];
  if (address === undefined) throw new Error('the preview server has no local address');
  project.provide('pageAddress', address);
  return () => server.close();
}
