/** How the command is built: one file for the command, one for its worker threads, all packages inside. */
import { chmodSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';

const SHEBANG = '#!/usr/bin/env node\n';

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  publicDir: false,
  plugins: [executable('kartwright.js')],
  ssr: { noExternal: true, target: 'node' },
  build: {
    ssr: true,
    outDir: '../../dist/terminal',
    emptyOutDir: true,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: {
        kartwright: fileURLToPath(new URL('./kartwright.ts', import.meta.url)),
        'node-worker': fileURLToPath(new URL('../../workers/node-worker.ts', import.meta.url)),
      },
      // Chunks lie beside the entries: workers/spawn-node.ts looks for node-worker.js in its own folder.
      output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});

/** Makes the written file start with the shebang line, once, and sets its executable bits. */
function executable(name: string): Plugin {
  return {
    name: 'executable',
    writeBundle(options) {
      const file = join(options.dir ?? '', name);
      const code = readFileSync(file, 'utf8');
      if (!code.startsWith('#!')) writeFileSync(file, SHEBANG + code);
      chmodSync(file, 0o755);
    },
  };
}
