import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The folder of package.json: sources and built files are at different depths below it. */
const ROOT = new URL(import.meta.url.includes('/dist/src/cli/') ? '../../../' : '../../', import.meta.url);

/** A path below the folder of the program. @example toOwnPath('configs/demo').endsWith('configs/demo')  // true */
export function toOwnPath(path: string): string {
  return fileURLToPath(new URL(path, ROOT));
}

/** The program's version. */
export function readVersion(): string {
  return JSON.parse(readFileSync(toOwnPath('package.json'), 'utf8')).version;
}
