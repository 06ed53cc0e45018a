/** How the workbench is built, served in development and previewed: ui/web to dist/web, no server needed. */
import { defineConfig } from 'vite';

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
});
