import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const at = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const { dependencies } = JSON.parse(readFileSync(at('../package.json'), 'utf8'));

/** What every start of the program loads besides its entry; threads share some of it. */
const EVERY_START =
  /[\\/]src[\\/](io[\\/](clock[\\/]|leeway-error)|cli[\\/](exit-codes|root|say|format[\\/](errors|wrap))\.)|[\\/]commander[\\/]/;

/**
 * The program that is shipped, in dist/program: all files lie in one folder, so that a thread's lies beside the one that
 * starts it. The packages in `dependencies` stay outside and are loaded by the command that needs them; all others are
 * built in, and licenses.md holds their licences.
 */
export default defineConfig({
  root: at('..'),
  publicDir: false,
  ssr: { noExternal: true, external: Object.keys(dependencies) },
  build: {
    ssr: true,
    outDir: at('../dist/program'),
    emptyOutDir: true,
    target: 'node20.12',
    sourcemap: true,
    license: { fileName: 'licenses.md' },
    rolldownOptions: {
      // What is started by itself: the program, the threads, and the process that draws.
      input: {
        leeway: at('../src/cli/index.ts'),
        worker: at('../src/io/server/worker.ts'),
        'retune-thread': at('../src/app/batch/retune-thread.ts'),
        'draw-png': at('../src/io/picture/draw-png.ts'),
      },
      output: {
        // Less to read at each start; names stay, for stack traces.
        minify: { compress: false, mangle: false, codegen: { removeWhitespace: true } },
        entryFileNames: '[name].js',
        chunkFileNames: ({ name }) => `${name.split('~')[0]}.js`,
        sourcemapExcludeSources: true,
        // A file costs more time to find than a few kilobytes to read.
        codeSplitting: {
          groups: [
            { name: 'start', test: EVERY_START, priority: 1 },
            { name: 'shared', minShareCount: 2, entriesAware: true, entriesAwareMergeThreshold: 60_000 },
          ],
        },
      },
    },
  },
});
