/** The page as a program of its own: the browser finds nothing against it, offers it, and installs it. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { describeInBrowser, openInProfile } from './harness.ts';

describeInBrowser('installing', () => {
  test('nothing stands against it, the button is offered, and it installs', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'kartwright-profile-'));
    const { page, expectNoComplaints, close } = await openInProfile(folder, '#/project');
    try {
      const chrome = await page.context().newCDPSession(page);
      await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
      expect(await chrome.send('Page.getInstallabilityErrors')).toEqual({ installabilityErrors: [] });
      const button = page.getByRole('button', { name: 'Install on this machine' });
      await expect.poll(() => button.count(), { timeout: 15_000 }).toBe(1);
      // What the press leads to is the browser's own window; the yes in it is said here to the browser directly.
      const { appId } = await chrome.send('Page.getAppId');
      const installed = await chrome.send('PWA.install' as never, { manifestId: appId } as never);
      expect(installed).toEqual({});
      expectNoComplaints();
    } finally {
      await close();
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
