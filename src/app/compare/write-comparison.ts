import { join } from 'node:path';
import { formatMidiFile, type MidiFile } from '../../core/midi/index.js';
import { type Planning, toTimeline } from '../../core/score/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import { WholeFile } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { toPng } from '../../io/picture/index.js';
import { makeFolder } from '../folders.js';
import type { FileAccess } from '../midi-source.js';
import type { OutletChoice } from '../outlet-choice.js';
import { type RenderOptions, render } from '../render.js';
import type { TrackRole } from '../track-roles.js';
import { toComparisonSvg } from './picture.js';
import { type ReportParts, toChordRows, toReportPage } from './report-page.js';
import { toComparisonCsv, toComparisonJson } from './tables.js';
import { type Comparison, compareVersions, VERSION_COUNT, type Version } from './versions.js';

/** The input and output of a comparison. */
export interface ComparisonJob {
  readonly input: string;
  /** The title of the piece: in the page, and at the front of the file names. */
  readonly title: string;
  /** Of format 0 or 1. */
  readonly file: MidiFile;
  readonly folder: string;
  readonly settings: TunerSettings;
  readonly outlet: OutletChoice;
  readonly planning: Planning;
  /** What becomes of the tracks, as `retune` takes it. */
  readonly roles?: readonly TrackRole[];
  readonly page: ReportParts;
  /** Undefined: no sound files. */
  readonly sound: Pick<RenderOptions, 'createPlayers' | 'rate' | 'format'> | undefined;
}

/** The result of a comparison. */
export interface ComparisonDone {
  readonly comparison: Comparison;
  /** Names of the files within the folder, in the order they were written. */
  readonly written: readonly string[];
  /** Why there is no PNG, if there is none. */
  readonly withoutPng: LeewayError | undefined;
}

/** Width of the PNG: sharp on a projector. */
const PNG_WIDTH = 2400;
/** Share of the work that is tuning and measuring, if sound is made too. */
const TUNING_SHARE = 0.3;
/** The first version is this much below the loudest possible level, so that the others can be as loud. */
const HEADROOM_DB = 1.5;

/**
 * Compares the versions of a piece and writes retuned files, sound, a page, a picture, and tables. Each file is written
 * whole or not at all. Throws a LeewayError where something can't be written; whatever `progress` throws.
 *
 * @param progress called with the share done, 0 to 1; may throw to stop
 */
export async function writeComparison(
  job: ComparisonJob,
  access: FileAccess,
  progress: (share: number) => void,
): Promise<ComparisonDone> {
  const { title, file, folder, settings, outlet, planning: plan, roles = [], sound } = job;
  const tuningShare = sound === undefined ? 1 : TUNING_SHARE;
  let done = 0;
  const comparison = compareVersions(file, { settings, outlet, plan, roles }, () => {
    progress((++done / VERSION_COUNT) * tuningShare);
  });
  const chords = toChordRows(file, comparison);
  await makeFolder(folder);

  const written: string[] = [];
  const write = async (name: string, content: string | Uint8Array) => {
    const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
    await access.write(join(folder, name), bytes);
    written.push(name);
  };
  for (const version of comparison.versions) {
    if (version.name !== 'equal') await write(`${title}-${version.name}.mid`, formatMidiFile(version.file));
  }
  const svg = toComparisonSvg(title, comparison);
  await write(`${title}.html`, toReportPage(title, comparison, chords, job.page));
  await write(`${title}.svg`, svg);
  let withoutPng: LeewayError | undefined;
  try {
    await write(`${title}.png`, await toPng(svg, PNG_WIDTH));
  } catch (error) {
    if (!(error instanceof LeewayError) || error.code !== 'PICTURE_LIBRARY') throw error;
    withoutPng = error;
  }
  await write(`${title}.csv`, toComparisonCsv(comparison));
  await write(`${title}.json`, toComparisonJson(job.input, comparison));
  if (sound !== undefined) {
    const { versions } = comparison;
    const names = await renderAll(job, versions, sound, (share) =>
      progress(tuningShare + share * (1 - tuningShare)),
    );
    written.push(...names);
  }
  return { comparison, written, withoutPng };
}

/** Renders all versions, equally loud: the gain of the first, a little lowered, applies to all. */
async function renderAll(
  { title, folder }: ComparisonJob,
  versions: readonly Version[],
  sound: NonNullable<ComparisonJob['sound']>,
  progress: (share: number) => void,
): Promise<string[]> {
  const names: string[] = [];
  let gainDb: number | undefined;
  for (const [i, version] of versions.entries()) {
    const name = `${title}-${version.name}.wav`;
    const timeline = toTimeline(version.file);
    const watch = (share: number) => progress((i + share) / versions.length);
    if (gainDb === undefined) {
      // The first run only finds its loudest moment.
      const { gainDb: most } = await render(
        timeline,
        { ...sound, gainDb: undefined },
        { write: async () => {}, progress: () => progress(0) },
      );
      gainDb = Number.isFinite(most) ? most - HEADROOM_DB : 0;
    }
    const place = await WholeFile.open(join(folder, name));
    try {
      await render(timeline, { ...sound, gainDb }, { write: (bytes) => place.write(bytes), progress: watch });
      await place.finish();
    } catch (error) {
      await place.abandon();
      throw error;
    }
    names.push(name);
  }
  return names;
}
