import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  divide,
  equal,
  formatRatio,
  multiply,
  type PrimeVector,
  toDeviationCents,
  UNISON,
  withKeys,
} from '../../../src/core/theory/index.js';
import {
  createTuner,
  nextWakeMs,
  type SoundingNote,
  STOCK_WEIGHTS,
  step,
  type Tuner,
  type TunerEvent,
  type TunerSettings,
  toDrift,
  toSoundingCents,
} from '../../../src/core/tuner/index.js';
import { keysOf, Playing, Telling } from '../../support/play.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

/** What an auditor writes down of a key class, from the notes alone. */
interface Audit {
  readonly firstPoint: PrimeVector;
  readonly firstPitchCents: number;
  readonly firstOffsetCents: number;
  lastPoint: PrimeVector;
  /** The note that settled last, while it sounds. */
  note: SoundingNote;
}

/**
 * Keeps books of its own beside the tuner's: looks at the notes whenever one settles, one moment of the tuner at a time, and
 * compares.
 */
class Auditor extends Telling {
  readonly tuner: Tuner;
  readonly audits = new Map<number, Audit>();
  readonly #seen = new Set<number>();
  #beforeEvent: readonly SoundingNote[] = [];

  constructor(chosen: TunerSettings) {
    super();
    this.tuner = createTuner(chosen);
  }

  override end(atMs: number, note: Readonly<SoundingNote>): void {
    super.end(atMs, note);
    this.#look([note as SoundingNote]);
  }

  play(events: readonly TunerEvent[]): void {
    for (const event of events) {
      for (let dueMs = nextWakeMs(this.tuner); dueMs < event.atMs; dueMs = nextWakeMs(this.tuner)) {
        this.#take({ kind: 'time', atMs: dueMs });
      }
      this.#take({ kind: 'time', atMs: event.atMs });
      this.#take(event);
    }
  }

  #take(event: TunerEvent): void {
    this.#beforeEvent = this.tuner.notes.slice();
    step(this.tuner, event, this);
    this.#look(this.#beforeEvent.filter((note) => note.settled));
    this.#compare();
  }

  #look(notes: readonly SoundingNote[]): void {
    for (const note of notes) {
      if (!note.settled || this.#seen.has(note.id)) continue;
      this.#seen.add(note.id);
      const audit = this.audits.get(note.keyClass);
      if (audit === undefined) {
        this.audits.set(note.keyClass, {
          firstPoint: note.point,
          firstPitchCents: this.#pitchOf(note),
          firstOffsetCents: this.tuner.offset.cents + note.lagCents,
          lastPoint: note.point,
          note,
        });
      } else {
        audit.lastPoint = note.point;
        audit.note = note;
      }
    }
  }

  /** What a note sounds above its key, by what the tuner says it sounds. */
  #pitchOf(note: SoundingNote): number {
    return toSoundingCents(this.tuner, note) - 100 * note.key;
  }

  #compare(): void {
    const { ledger, offset } = this.tuner;
    for (const [keyClass, audit] of this.audits) {
      const drift = toDrift(ledger, keyClass);
      const moved = withKeys(divide(audit.lastPoint, audit.firstPoint), 0);
      if (!equal(drift, moved)) expect(formatRatio(drift)).toBe(formatRatio(moved));
      const { note } = audit;
      if (!this.tuner.notes.includes(note)) continue;
      const jumped = this.#pitchOf(note) - audit.firstPitchCents;
      const booked = toDeviationCents(drift) + offset.cents + note.lagCents - audit.firstOffsetCents;
      if (!(Math.abs(jumped - booked) < 1e-6)) expect(jumped).toBeCloseTo(booked, 6);
    }
    if (!(Math.abs(offset.cents - ledger.movedCents) < 1e-6))
      expect(offset.cents).toBeCloseTo(ledger.movedCents, 6);
  }

  /** Product of the returns entered for a key class. */
  returnsOf(keyClass: number): PrimeVector {
    let product = UNISON;
    for (const entry of this.entries) {
      if (entry.kind === 'return' && entry.key % 12 === keyClass) product = multiply(product, entry.ratio);
    }
    return product;
  }
}

describe('the ledger balances, whatever is played', () => {
  it('at all times: drift, pitch and offset are what the notes show', () => {
    fc.assert(
      fc.property(settings(), playing(), (chosen, events) => {
        const auditor = new Auditor(chosen);
        auditor.play([...events, ...letGo(endOf(events) + 7)]);
      }),
      { numRuns: 150 },
    );
  });

  it('in the end: entries multiply and add up to the drift and the offset', () => {
    fc.assert(
      fc.property(settings(), playing(), (chosen, events) => {
        const auditor = new Auditor(chosen);
        auditor.play([...events, ...letGo(endOf(events) + 7)]);
        const { ledger, offset } = auditor.tuner;
        for (let keyClass = 0; keyClass < 12; keyClass++) {
          expect(formatRatio(auditor.returnsOf(keyClass))).toBe(formatRatio(toDrift(ledger, keyClass)));
        }
        let moves = 0;
        let travel = 0;
        for (const entry of auditor.entries) {
          if (entry.kind !== 'offset') continue;
          moves += entry.cents;
          travel += Math.abs(entry.cents);
        }
        expect(moves).toBeCloseTo(offset.cents, 6);
        expect(ledger.totals.offsetTravelCents).toBeCloseTo(travel, 6);
        const returns = auditor.entries.filter((entry) => entry.kind === 'return');
        expect(ledger.totals.returns).toBe(returns.length);
      }),
      { numRuns: 150 },
    );
  });
});

describe('entries', () => {
  it('a return names the comma', () => {
    // I vi ii V I with every common tone tied and no memory: G, C and E come back a comma low, D and A never left.
    const weights = { ...STOCK_WEIGHTS, recall: 0, returnPrice: 0 };
    const music = new Playing({ strategy: 'free', weights });
    for (const names of ['C4 E4 G4', 'C4 E4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4'])
      music.chord(keysOf(names));
    const returns = music.telling.entries.filter((entry) => entry.kind === 'return');
    expect(returns.map(({ key, ratio }) => `${key} ${formatRatio(ratio)}`)).toEqual([
      '67 80/81',
      '60 80/81',
      '64 80/81',
    ]);
    for (const { cents } of returns) expect(cents).toBeCloseTo(-21.5063, 4);
    expect(music.tuner.ledger.totals.returns).toBe(3);
    expect(music.tuner.ledger.totals.jumpedCents).toBeCloseTo(3 * 21.5063, 3);
  });

  it('anchored, follow: an offset move with how many were struck and tied', () => {
    const music = new Playing({ strategy: 'anchored', leewayCents: 0 })
      .chord([60, 64, 67])
      .chord([60, 65, 69]);
    const moves = music.telling.entries.filter((entry) => entry.kind === 'offset');
    expect(moves.map(({ cause, struck, tied }) => [cause, struck, tied])).toEqual([
      ['first strike', 3, 0],
      ['anchor', 2, 1],
    ]);
    // The tied C glides by as much as the offset moved; nothing else does.
    expect(music.tuner.ledger.totals.glidedCents).toBeCloseTo(Math.abs(moves[1].cents), 9);
    expect(music.tuner.ledger.totals.impurityCentSeconds).toBeGreaterThan(0);
  });

  it('anchored, stay: the tied note pays in impurity, cents times seconds', () => {
    const music = new Playing({ strategy: 'anchored', held: 'stay', leewayCents: 0 })
      .chord([60, 64, 67])
      .chord([60, 65, 69], undefined, 2000)
      .chord([]);
    const [entry] = music.telling.entries.filter((one) => one.kind === 'impurity');
    const moved = music.tuner.offset.cents - music.tuner.ledger.accounts[0]!.firstOffsetCents;
    expect(entry.key).toBe(60);
    expect(entry.cents).toBeCloseTo(-moved, 9);
    expect(entry.centSeconds).toBeCloseTo(2 * Math.abs(moved), 6);
    expect(music.tuner.ledger.totals.impurityCentSeconds).toBeCloseTo(entry.centSeconds, 9);
    expect(music.tuner.ledger.totals.glidedCents).toBe(0);
  });

  it('a key class that never sounded has no drift', () => {
    expect(toDrift(new Playing().tuner.ledger, 5)).toEqual(UNISON);
  });
});
