/**
 * The page's side of working offline: has the service worker set up, and knows when a new version is ready.
 *
 * Out: signals. In development there is no service worker. A new version waits until the builder asks for it, and a
 * page is reloaded by its own builder's hand only.
 */
import type { ReadonlySignal } from '@preact/signals';
import { signal } from '@preact/signals';

export interface Offline {
  /** Fetches and keeps every file; to be called once what is needed now is there. Again does nothing. */
  begin(): void;
  /** 'ready': everything needed is kept, the page opens without a network. 'not here': it will not be. */
  readonly kept: ReadonlySignal<'setting up' | 'ready' | 'not here'>;
  readonly online: ReadonlySignal<boolean>;
  readonly newVersion: ReadonlySignal<boolean>;
  /** Asks the browser to install the page as a program; undefined while it does not offer to. */
  readonly install: ReadonlySignal<(() => void) | undefined>;
  /** Has the new version take over and the page open anew. */
  takeOver(): void;
}

/** ms. A page left open for days asks for a new version now and then. */
const ASK_AGAIN = 3_600_000;

export function setUpOffline(): Offline {
  const supported = import.meta.env.PROD && 'serviceWorker' in navigator;
  const kept = signal<'setting up' | 'ready' | 'not here'>(supported ? 'setting up' : 'not here');
  const online = signal(navigator.onLine);
  const newVersion = signal(false);
  const install = signal<(() => void) | undefined>(undefined);
  let registration: ServiceWorkerRegistration | undefined;
  addEventListener('online', () => {
    online.value = true;
  });
  addEventListener('offline', () => {
    online.value = false;
  });

  // Chromium's own events; other browsers have a menu for it.
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    install.value = () => void (event as Event & { prompt(): Promise<unknown> }).prompt();
  });
  addEventListener('appinstalled', () => {
    install.value = undefined;
  });

  const watch = (found: ServiceWorkerRegistration): void => {
    registration = found;
    const look = (): void => {
      if (found.active !== null) kept.value = 'ready';
      // Without an active one this is the first visit: the one waiting is no news.
      newVersion.value = found.waiting !== null && found.active !== null;
    };
    const follow = (): void => found.installing?.addEventListener('statechange', look);
    found.addEventListener('updatefound', follow);
    follow();
    look();
    navigator.serviceWorker.addEventListener('controllerchange', look);
    let asked = Date.now();
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState !== 'visible' || Date.now() - asked < ASK_AGAIN) return;
      asked = Date.now();
      found.update().catch(() => {});
    });
    void navigator.serviceWorker.ready.then(look);
  };

  const register = (): void => {
    navigator.serviceWorker
      .register('./service-worker.js', { scope: './', updateViaCache: 'none' })
      .then(watch, () => {
        // Refused by browser or server: the page works as any page does.
        kept.value = 'not here';
      });
  };
  let begun = false;
  return {
    begin() {
      if (begun || !supported) return;
      begun = true;
      register();
    },
    kept,
    online,
    newVersion,
    install,
    takeOver() {
      const { waiting } = registration ?? {};
      if (waiting === null || waiting === undefined) return location.reload();
      navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
      waiting.postMessage('take over');
    },
  };
}
