/**
 * One line for everything the commands write: what was asked, which file came of it, and its SHA-256. Two lists of two
 * versions of the program, side by side, show whether a change that should change nothing did.
 *
 *     npm run outputs -- --program ../before/bin/leeway.js songs/ > before.txt
 *     npm run outputs -- songs/ > after.txt
 *     diff before.txt after.txt
 *
 * `--rename NEW=OLD` calls an option by the name an older program has for it. Pages (.html) hold the built script, so only
 * the data in them counts. What people read on the screen is listed too, marked `words`: it may differ.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join, relative } from 'node:path';
import { parseArgs } from 'node:util';

const { values, positionals: folders } = parseArgs({
  allowPositionals: true,
  options: {
    program: { type: 'string', default: 'bin/leeway.js' },
    rename: { type: 'string', multiple: true, default: [] },
  },
});
const oldNames = new Map(
  values.rename.map((pair) => pair.split('=').map((name) => `--${name}`) as [string, string]),
);

/** Ways to retune a whole folder. */
const WAYS: readonly (readonly string[])[] = [
  ...['free', 'pull', 'anchored', 'temper'].flatMap((strategy) =>
    ['whole', 'live'].map((plan) => ['--strategy', strategy, '--plan', plan]),
  ),
  ['--strategy', 'free', '--end', 'home'],
  ['--strategy', 'free', '--limit', '7'],
  ['--strategy', 'anchored', '--plan', 'live', '--held', 'stay'],
  ['--strategy', 'free', '--plan', 'live', '--recall', '22'],
  ['--strategy', 'pull', '--home', 'meantone', '--tonic', 'D', '--a4', '415'],
  ['--plan', 'live', '--outlet', 'multichannel'],
  ['--plan', 'live', '--outlet', 'mts'],
];
const DEMO = 'configs/demo';
const VOICES = ['reed', 'bowed', 'sung', 'struck'];

for (const folder of folders) for (const way of WAYS) list('retune', [folder, ...way], 'all');
for (const name of readdirSync(DEMO).filter((file) => file.endsWith('.mid'))) {
  const piece = join(DEMO, name);
  for (const strategy of ['free', 'pull', 'anchored', 'temper']) {
    list('explain', [piece, '--json', '--strategy', strategy], 'none');
    list('retune', [piece, '--strategy', strategy, '--report', '%/report.json'], 'one.mid');
  }
  list('explain', [piece, '--strategy', 'free', '--sheet', '%/sheet.svg'], 'none');
  list('explain', [piece, '--strategy', 'free', '--portrait', '--sheet', '%/sheet.html'], 'none');
  list('compare', [piece, '--no-sound'], 'all');
  list('render', [piece, '--voice', VOICES[name.length % VOICES.length]], 'sound.wav');
}
for (const formula of ['I vi ii V', 'C Am Dm G', '5/4 5/4 5/4', 'I IV7 I', 'IV 9/8 V I'])
  list('pump', [formula], 'pump.mid');
for (const settings of readdirSync('configs').filter((file) => file.endsWith('.toml')))
  list('check', [join('configs', settings), '--json'], 'none');

/** Runs a command, and lists what it wrote. `%` in an argument is a folder of its own. */
function list(command: string, args: readonly string[], output: string): void {
  const folder = mkdtempSync(join(tmpdir(), 'leeway-outputs-'));
  const asked = [command, ...args]
    .map((one) => (one.includes('/midi') ? basename(join(one, '..')) : one))
    .join(' ');
  const given = args.map((one) => (oldNames.get(one) ?? one).replace('%', folder));
  const wanted = output === 'none' ? [] : ['-o', output === 'all' ? folder : join(folder, output)];
  const run = spawnSync(process.execPath, [values.program, command, ...given, ...wanted], {
    maxBuffer: 1 << 30,
  });
  const isData = args.includes('--json');
  console.log(`${asked} | exit ${run.status}`);
  console.log(`${asked} | ${isData ? 'stdout' : 'words'} ${digest(withoutPlace(run.stdout, folder))}`);
  for (const path of allFiles(folder)) {
    const bytes = readFileSync(path);
    const data = path.endsWith('.html') ? withoutScripts(bytes) : withoutPlace(bytes, folder);
    console.log(`${asked} | ${relative(folder, path)} ${digest(data)}`);
  }
  rmSync(folder, { recursive: true });
}

function allFiles(folder: string): string[] {
  return readdirSync(folder)
    .sort()
    .flatMap((name) => {
      const path = join(folder, name);
      return statSync(path).isDirectory() ? allFiles(path) : [path];
    });
}

/** Text that names the folder it was written to names none. */
function withoutPlace(bytes: Buffer, folder: string): Buffer {
  const text = bytes.toString('latin1');
  return text.includes(folder) ? Buffer.from(text.replaceAll(folder, ''), 'latin1') : bytes;
}

/** A page without what was built: its scripts that are code, its style, and the sums of both in its security policy. */
function withoutScripts(bytes: Buffer): Buffer {
  const built = /<style.*?<\/style>|<script(?![^>]*application\/json)[^>]*>.*?<\/script>|'sha256-[^']*'/gs;
  return Buffer.from(bytes.toString('utf8').replaceAll(built, ''));
}

function digest(bytes: Buffer): string {
  return createHash('sha256').update(bytes).digest('hex').slice(0, 32);
}
