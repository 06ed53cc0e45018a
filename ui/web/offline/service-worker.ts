/**
 * Keeps the built page, so that it opens and works without a network.
 *
 * In: the list of built files and their hash, put in by vite.config.ts; no imports, for it is not bundled. A version is fetched whole, in the background,
 * and takes over only when the page asks; the one before stays as long as a page of it may be open. Touches nothing
 * that the builder made.
 */
// Marks a module for the type checker; taken out again when built.
export {};

declare const __KARTWRIGHT_VERSION__: string;
declare const __KARTWRIGHT_FILES__: readonly string[];

const worker = globalThis as unknown as ServiceWorkerGlobalScope;
const PREFIX = 'kartwright-';
const OWN = PREFIX + __KARTWRIGHT_VERSION__;
/** Servers may vary their answers by headers that differ between page, worker and module; the files are the same. */
const LOOSE = { ignoreVary: true } as const;

worker.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(OWN).then((cache) =>
      // Past the browser's own cache: a version is made of its own files only.
      cache.addAll(__KARTWRIGHT_FILES__.map((file) => new Request(file, { cache: 'reload' }))),
    ),
  );
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      const versions = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== OWN);
      // In the order they were made: the last one is that of pages still open.
      await Promise.all(versions.slice(0, -1).map((name) => caches.delete(name)));
      await worker.clients.claim();
    })(),
  );
});

worker.addEventListener('message', (event) => {
  if (event.data === 'take over') void worker.skipWaiting();
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== worker.location.origin) return;
  event.respondWith(answer(request));
});

async function answer(request: Request): Promise<Response> {
  const own = await caches.open(OWN);
  if (request.mode === 'navigate') {
    const page = await own.match('./', LOOSE);
    // Another page may lie below this one's folder.
    const isThisPage = new URL(request.url).pathname === new URL('./', worker.registration.scope).pathname;
    if (page !== undefined && (isThisPage || request.url.split(/[?#]/)[0]?.endsWith('/index.html')))
      return asOwn(page);
  }
  const kept = (await own.match(request, LOOSE)) ?? (await caches.match(request, LOOSE));
  return kept ?? fetch(request);
}

/** A page that came by a redirect may not be given to a navigation; what it holds may. */
function asOwn(page: Response): Response {
  if (!page.redirected) return page;
  return new Response(page.body, { status: page.status, headers: page.headers });
}
