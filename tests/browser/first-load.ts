/** What a first visit fetches before its first answer stands, compressed as a server would. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';

const BUILT = fileURLToPath(new URL('../../dist/web', import.meta.url));

/** kB; the page must be an empty one without service worker, which would fetch the rest for later. */
export async function firstLoadSize(page: Page, address: string): Promise<number> {
  const asked = new Set<string>();
  let isCounting = true;
  page.context().on('response', (response) => {
    if (isCounting) asked.add(new URL(response.url()).pathname);
  });
  await page.goto(address);
  await page.waitForFunction(() => performance.getEntriesByName('kartwright:first', 'measure').length > 0);
  isCounting = false;
  const bytes = [...asked].map((path) => {
    const file = `${BUILT}${path.endsWith('/') ? `${path}index.html` : path}`;
    return gzipSync(readFileSync(file)).length;
  });
  return bytes.reduce((sum, n) => sum + n, 0) / 1000;
}
