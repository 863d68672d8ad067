import { readFileSync } from 'node:fs';
import { compareVersions, type Version, type VersionName } from '../../src/app/compare/versions.js';
import { parseMidiFile } from '../../src/core/midi/index.js';
import { DEFAULT_PLAN } from '../../src/core/score/index.js';
import { toSettings } from '../../src/core/tuner/index.js';

/** The demo piece that falls a syntonic comma each pass, eight times over, and all its versions. */
const read = parseMidiFile(
  new Uint8Array(readFileSync(new URL('../../configs/demo/choir-warm-up.mid', import.meta.url))),
);
if (!read.ok) throw new Error(read.problem.message);
export const { file } = read.value;
export const settings = toSettings({});
export const comparison = compareVersions(file, {
  settings,
  outlet: { kind: 'mpe', bendRange: undefined },
  plan: DEFAULT_PLAN,
});

/** One of the versions. */
export function version(name: VersionName): Version {
  const found = comparison.versions.find((one) => one.name === name);
  if (found === undefined) throw new RangeError(`there is no version ${name}`);
  return found;
}
