/**
 * The browser tests' way in: one Chromium per test file, a fresh context per test, and no silent page errors.
 *
 * In: what serve-built-page.ts found. Out: `describeInBrowser` and `openPage`. Knows nothing of the workbench.
 */
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject } from 'vitest';

// Quiet on a closed network: no update, sync or first-run traffic.
const FLAGS = [
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export interface OpenedPage {
  readonly page: Page;
  /** Everything the page complained of: console errors, uncaught exceptions, failed requests. */
  readonly complaints: readonly string[];
  /** Fails the test if the page complained. */
  expectNoComplaints(): void;
  close(): Promise<void>;
}

export interface Session {
  /** Opens the built page (or a path below it) in a context of its own: empty storage, nothing shared. */
  open(path?: string, options?: BrowserContextOptions): Promise<OpenedPage>;
  /** Opens an empty context, for tests that set things up before the page loads. */
  openBlank(options?: BrowserContextOptions): Promise<OpenedPage>;
}

/** A `describe` with a browser; skipped where no Chromium was found. */
export function describeInBrowser(name: string, body: (session: Session) => void): void {
  describe.skipIf(inject('chromium') === '')(name, () => {
    let browser: Browser | undefined;
    beforeAll(async () => {
      browser = await launch();
    });
    afterAll(async () => {
      await browser?.close();
    });
    const running = (): Browser => {
      if (browser === undefined) throw new Error('the browser is not running: open pages inside tests');
      return browser;
    };
    body({
      openBlank: async (options) => watchedPage(await running().newContext(options)),
      open: async (path = '', options = {}) => {
        const opened = await watchedPage(await running().newContext(options));
        await opened.page.goto(new URL(path, pageAddress()).href);
        return opened;
      },
    });
  });
}

/** Where the built page is served. */
export function pageAddress(): string {
  return inject('pageAddress');
}

/** A page of a profile that is kept in a folder, as a builder's own is: nothing installs in a passing one. */
export async function openInProfile(folder: string, path = ''): Promise<OpenedPage> {
  const context = await chromium.launchPersistentContext(folder, launchOptions());
  const opened = await watchedPage(context);
  await opened.page.goto(new URL(path, pageAddress()).href);
  return opened;
}

function launch(): Promise<Browser> {
  return chromium.launch(launchOptions());
}

function launchOptions() {
  // Chromium's sandbox refuses to start as root; for anybody else it stays on.
  const asRoot = process.getuid?.() === 0;
  return {
    executablePath: inject('chromium'),
    args: [...FLAGS, ...(asRoot ? ['--no-sandbox'] : [])],
  };
}

async function watchedPage(context: BrowserContext): Promise<OpenedPage> {
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`console: ${message.text()} (${message.location().url})`);
  });
  page.on('pageerror', (error) => complaints.push(`exception: ${error.stack ?? error.message}`));
  page.on('requestfailed', (request) => {
    complaints.push(`request: ${request.url()} ${request.failure()?.errorText ?? ''}`);
  });
  return {
    page,
    complaints,
    expectNoComplaints: () => expect(complaints).toEqual([]),
    close: () => context.close(),
  };
}
