import { formatRatio } from '../../core/theory/index.js';
import type { LedgerEntry } from '../../core/tuner/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { toSettingsReport } from '../settings-report.js';
import { toChannel, toSplitIndex } from './input-parts.js';
import { toLiveJson } from './live-json.js';
import type { SessionEvent } from './session-event.js';
import type { SplitConfig } from './split-settings.js';

/** The name of a split, and of its input. */
type SplitName = Pick<SplitConfig, 'input' | 'name'>;

/**
 * A line of a take's ledger, as an object to be written as JSON: a ledger entry or an event of the session. Cents are
 * exact as far as a double is, ratios without end.
 *
 * @param startMs when the take began: times in the line count from there
 * @param splits  the session's splits by name, to name parts
 * @example toTakeLine(31_000, entry, 1000, [{ input: 'Keys', name: undefined }]);  // atMs 30000, kind 'return', key 62, ratio '80/81', cents -21.506
 */
export function toTakeLine(
  atMs: number,
  what: LedgerEntry | SessionEvent,
  startMs: number,
  splits: readonly SplitName[],
): object {
  const head = { atMs: toTime(atMs, startMs), kind: what.kind };
  switch (what.kind) {
    case 'return': {
      const { part, key, ratio, cents } = what;
      return { ...head, ...toOrigin(part, splits), key, ratio: formatRatio(ratio), cents };
    }
    case 'offset': {
      const { cause, cents, struck, tied } = what;
      return { ...head, untilMs: toTime(what.untilMs, startMs), cause, cents, struck, tied };
    }
    case 'impurity': {
      const { part, key, cents, centSeconds } = what;
      const untilMs = toTime(what.untilMs, startMs);
      return { ...head, untilMs, ...toOrigin(part, splits), key, cents, centSeconds };
    }
    case 'tuning-changed':
      return { ...head, tuning: toSettingsReport(what.settings) };
    case 'reloaded':
      return { ...head, ...toLiveJson(what.settings) };
    case 'opened':
    case 'lost':
      return { ...head, ...toPort(what.port) };
    case 'waiting':
    case 'failed':
      return { ...head, ...toPort(what.port), code: what.error.code };
    case 'mended':
      return { ...head, port: what.port, code: what.error?.code ?? null };
    case 'fault':
      return { ...head, message: what.error instanceof Error ? what.error.message : String(what.error) };
    default:
      // The rest consists of words and numbers.
      return { ...head, ...what };
  }
}

function toOrigin(part: number, splits: readonly SplitName[]) {
  const { input = null, name } = splits[toSplitIndex(part)] ?? {};
  return { input, ...(name === undefined ? {} : { split: name }), channel: toChannel(part) + 1 };
}

function toPort({ direction, name }: WantedPort): { direction: string; port: string } {
  return { direction, port: name };
}

/** Milliseconds since the take began, to a thousandth. Earlier times count as its start. */
function toTime(ms: number, startMs: number): number {
  return Math.max(0, Number((ms - startMs).toFixed(3)));
}
