/** Builds the bench as the command is built, so that what is measured is what runs. */
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  publicDir: false,
  ssr: { noExternal: true, target: 'node' },
  build: {
    ssr: true,
    outDir: '../../dist/bench',
    emptyOutDir: true,
    target: 'node20',
    minify: false,
    rolldownOptions: {
      input: {
        bench: fileURLToPath(new URL('./bench.ts', import.meta.url)),
        'node-worker': fileURLToPath(new URL('../../workers/node-worker.ts', import.meta.url)),
      },
      output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
