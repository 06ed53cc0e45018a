/** Serves a folder until it is told to stop, for tests that take the server away or change what it gives. */
import { readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

export interface ServedFolder {
  readonly address: string;
  /** Puts another text in place of a file. */
  replace(path: string, text: string): void;
  stop(): Promise<void>;
}

export async function serveFolder(folder: string): Promise<ServedFolder> {
  const replaced = new Map<string, string>();
  const server = createServer((request, response) => {
    const path = normalize(decodeURIComponent((request.url ?? '/').split(/[?#]/)[0] ?? '/'));
    const file = path.endsWith('/') ? `${path}index.html` : path;
    try {
      const body = replaced.get(file) ?? readFileSync(join(folder, file));
      response
        .writeHead(200, { 'content-type': TYPES[extname(file)] ?? 'application/octet-stream' })
        .end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    replace: (path, text) => void replaced.set(path, text),
    stop: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
