import { readFileSync } from 'node:fs';
import { SourceMap } from 'node:module';
import { fileURLToPath } from 'node:url';

/** The folder of the built files; each has its source map beside it. */
const BUILT = new URL('.', import.meta.url).href;
/** From a built file to the folder with `src`. */
const TO_ROOT = /^(\.\.\/)+/;

const maps = new Map<string, SourceMap | undefined>();

/**
 * From now on the stack of an error names the sources: `src/core/tuner/step.ts:40:5` instead of a place in a built
 * file.
 *
 * Node's own switch, `--enable-source-maps`, reads the map of every loaded file. This reads a map when a stack that
 * needs it is printed, so it costs nothing without errors. A place without a map stays as it is.
 */
export function nameSourcesInStacks(): void {
  Error.prepareStackTrace = (error, sites) =>
    [String(error), ...sites.map((site) => `    at ${formatSite(site)}`)].join('\n');
}

function formatSite(site: NodeJS.CallSite): string {
  const text = String(site);
  const [file, line, column] = [site.getFileName(), site.getLineNumber(), site.getColumnNumber()];
  if (!file?.startsWith(BUILT) || line === null || column === null) return text;
  const entry = findMap(file)?.findEntry(line - 1, column - 1);
  if (entry === undefined || !('originalSource' in entry)) return text;
  const source = entry.originalSource.replace(TO_ROOT, '');
  return text.replace(
    `${file}:${line}:${column}`,
    `${source}:${entry.originalLine + 1}:${entry.originalColumn + 1}`,
  );
}

/** The map of a built file, read once; undefined where there is none. */
function findMap(file: string): SourceMap | undefined {
  if (!maps.has(file)) maps.set(file, readMap(`${file}.map`));
  return maps.get(file);
}

function readMap(url: string): SourceMap | undefined {
  try {
    return new SourceMap(JSON.parse(readFileSync(fileURLToPath(url), 'utf8')));
  } catch {
    return undefined;
  }
}
