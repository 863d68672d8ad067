import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url));

/** The script and style of a comparison's page, which are written into it: one file each, in dist/report. */
export default defineConfig({
  root: at('../src/page/report'),
  build: {
    outDir: at('../dist/report'),
    emptyOutDir: true,
    target: 'es2022',
    lib: {
      entry: at('../src/page/report/main.ts'),
      formats: ['iife'],
      name: 'report',
      fileName: () => 'report.js',
      cssFileName: 'report',
    },
  },
});
