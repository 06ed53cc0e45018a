/** How the workbench is built, served in development and previewed: ui/web to dist/web, no server needed. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin, transformWithOxc } from 'vite';

export default defineConfig({
  root: 'ui/web',
  // Relative addresses: the built folder works from any path, a memory stick's static server included.
  base: './',
  build: {
    outDir: '../../dist/web',
    emptyOutDir: true,
    target: 'es2022',
    // The policy of the page allows no inline script, and older engines are not a target.
    modulePreload: { polyfill: false },
  },
  worker: { format: 'es' },
  plugins: [offline()],
});

/**
 * Writes the service worker, with the list of every built file and a hash of their contents for its version: the same
 * build gives the same worker, so nobody is told of a new version where there is none.
 */
function offline(): Plugin {
  return {
    name: 'kartwright-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      async handler(_options, bundle) {
        const files = new Map<string, string | Uint8Array>(publicFiles('ui/web/public'));
        for (const [name, file] of Object.entries(bundle))
          files.set(name, file.type === 'chunk' ? file.code : file.source);
        const names = [...files.keys()].sort();
        const hash = createHash('sha256');
        for (const name of names) hash.update(`${name}\n`).update(files.get(name) ?? '');
        const source = 'ui/web/offline/service-worker.ts';
        const { code } = await transformWithOxc(readFileSync(fromRoot(source), 'utf8'), source);
        const text = code
          .replace(/^export \{\s*\};?$/m, '')
          .replace('__KARTWRIGHT_VERSION__', JSON.stringify(hash.digest('hex').slice(0, 16)))
          // The page is asked for by its folder.
          .replace(
            '__KARTWRIGHT_FILES__',
            JSON.stringify(names.map((name) => (name === 'index.html' ? './' : `./${name}`))),
          );
        this.emitFile({ type: 'asset', fileName: 'service-worker.js', source: text });
      },
    },
  };
}

function publicFiles(folder: string): [string, Uint8Array][] {
  return readdirSync(fromRoot(folder)).map((name) => [name, readFileSync(fromRoot(`${folder}/${name}`))]);
}

function fromRoot(path: string): string {
  return fileURLToPath(new URL(path, import.meta.url));
}
