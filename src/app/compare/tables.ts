import { BEATING } from '../../core/score/index.js';
import { formatComma, formatPower } from '../../core/theory/index.js';
import { toPlanningReport } from '../report.js';
import { toSettingsReport } from '../settings-report.js';
import type { Comparison, Version } from './versions.js';

/** Increases when a field changes its meaning or is removed, not when one is added. */
export const COMPARISON_VERSION = 2;

/** The figures of one version, by their names in the tables; null without a value. */
export function toFigureRow(version: Version): Readonly<Record<string, string | number | null>> {
  const { figures, totals, ending } = version;
  const beats = Object.fromEntries(
    BEATING.map(({ name }) => [`beats of held ${name}s`, toThousandth(figures.beats[name])]),
  );
  return {
    version: version.title,
    notes: figures.notes,
    'pure, %': toThousandth(figures.purePercent),
    'came back elsewhere within 4 s, %': toThousandth(figures.shiftedPercent),
    'by, c rms': toThousandth(figures.shiftRmsCents),
    'glided, c rms': toThousandth(figures.glideRmsCents),
    'travelled within 4 s, c': toThousandth(figures.travelCents),
    'from home, c rms': toThousandth(figures.homeRmsCents),
    'farthest from home, c': toThousandth(figures.farthestCents),
    'came back at another ratio': totals?.returns ?? null,
    'drift at the end, c': toThousandth(ending?.drift.leftCents ?? null),
    'moved by the ratios': ending === undefined ? null : formatPower(ending.drift.commas),
    'in commas': ending === undefined ? null : formatComma(ending.drift.commas),
    'given back by the offset, c': toThousandth(ending?.drift.backCents ?? null),
    'last chord from home, c': toThousandth(ending?.fromHomeCents ?? null),
    'offset travelled, c': toThousandth(totals?.offsetTravelCents ?? null),
    'impure, cent-seconds': toThousandth(totals?.impurityCentSeconds ?? null),
    ...beats,
    roughness: toThousandth(figures.roughness),
  };
}

/** The figures as a table, fields as in RFC 4180. */
export function toComparisonCsv({ versions }: Comparison): string {
  const rows = versions.map(toFigureRow);
  const heads = Object.keys(rows[0] ?? {});
  const lines = rows.map((row) => heads.map((head) => toField(row[head])).join(','));
  return `${[heads.map(toField).join(','), ...lines].join('\r\n')}\r\n`;
}

/** The figures and drift curves for machines. */
export function toComparisonJson(
  input: string,
  { settings, planning, lengthMs, versions }: Comparison,
): string {
  const report = {
    kind: 'leeway comparison',
    version: COMPARISON_VERSION,
    input,
    seconds: toThousandth(lengthMs / 1000),
    settings: toSettingsReport(settings),
    plan: toPlanningReport(planning),
    versions: versions.map((version) => ({
      name: version.name,
      figures: toFigureRow(version),
      course: {
        atMs: version.course.atMs.map(toThousandth),
        bodyCents: version.course.meanCents.map(toThousandth),
        pure: version.course.pure.map(toThousandth),
      },
      drift: version.drift.map(({ atMs, cents }) => [toThousandth(atMs), toThousandth(cents)]),
      offset: version.offset.map(({ atMs, cents }) => [toThousandth(atMs), toThousandth(cents)]),
    })),
  };
  return `${JSON.stringify(report, null, 1)}\n`;
}

/** To a thousandth, and never −0. */
export function toThousandth<T extends number | null>(value: T): T {
  return (value === null ? null : Math.round(value * 1000) / 1000 + 0) as T;
}

function toField(value: string | number | null): string {
  const text = value === null ? '' : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
