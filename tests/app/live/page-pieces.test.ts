import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { readBuiltInPieces } from '../../../src/app/live/built-in-pieces.js';
import { PagePieces } from '../../../src/app/live/page-pieces.js';
import type { NamedPiece } from '../../../src/app/live/piece-stretch.js';
import type { SessionMessage } from '../../../src/core/monitor/index.js';
import { STRATEGIES, TUNINGS } from '../../../src/core/protocol/index.js';
import { toSoundingCents } from '../../../src/core/tuner/index.js';
import { pieceOf } from '../../support/pieces.js';
import { forAll } from '../../support/properties.js';
import { WatchedStage } from '../../support/watched-stage.js';

const COUNTERS = { droppedFrames: 0, viewers: 0 };
const NAMES = ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'];

let builtIn: readonly NamedPiece[];
beforeAll(async () => {
  builtIn = await readBuiltInPieces(new URL('../../../configs/demo', import.meta.url).pathname);
});

/** A session with the pieces of a page. */
class PieceStage extends WatchedStage {
  readonly messages: SessionMessage[] = [];
  readonly pieces: PagePieces;

  constructor() {
    super();
    this.pieces = new PagePieces(builtIn, {
      clock: this.clock,
      session: () => this.session,
      tell: (message) => {
        this.messages.push(message);
        this.queue.tell(message);
      },
      passed: () => {},
    });
  }

  start(name: string, tempo = 1): this {
    expect(this.pieces.take({ type: 'piece', act: 'start', name, tempo, loop: true })).toBeUndefined();
    return this;
  }

  seek(pass: number, value: number): this {
    this.pieces.take({ type: 'piece', act: 'seek', pass, value });
    return this;
  }

  step(value: -1 | 1): this {
    this.pieces.take({ type: 'piece', act: 'chord', value });
    return this;
  }

  pause(value: boolean): this {
    this.pieces.take({ type: 'piece', act: 'pause', value });
    return this;
  }

  /** Every sounding note under every tuning, by key, to a hundredth. */
  pitches() {
    return this.frame().notes.map(({ key, cents }) => ({
      key,
      ...Object.fromEntries(TUNINGS.map((tuning) => [tuning, Math.round(cents[tuning] * 100) / 100])),
    }));
  }

  /** The session is its replica, and the synth sounds what the session has. */
  expectTruth(): void {
    const { notes } = this.frame();
    this.session.tick();
    const { tuner } = this.session.line;
    const twin = this.monitor.replicas.sounding;
    const of = (one: typeof tuner) => one.notes.map((note) => [note.id, toSoundingCents(one, note)]);
    expect(of(twin)).toEqual(of(tuner));
    const model = this.model();
    expect(model.voices.map(({ key }) => key).sort()).toEqual(tuner.notes.map(({ key }) => key).sort());
    expect(model.faults).toEqual([]);
    // Viewers know the channel of each note, also of one that has started again.
    const channelOf = (key: number) => model.voices.find((voice) => voice.key === key)?.channel;
    for (const { key, channel } of notes)
      if (notes.filter((one) => one.key === key).length === 1) expect(channel).toBe(channelOf(key));
  }
}

function expectNear(one: ReturnType<PieceStage['pitches']>, other: ReturnType<PieceStage['pitches']>) {
  expect(one.map(({ key }) => key)).toEqual(other.map(({ key }) => key));
  one.forEach((note, i) => {
    for (const tuning of TUNINGS) {
      const [a, b] = [note, other[i]].map((its) => (its as unknown as Record<string, number>)[tuning]);
      // The pull moves in steps of 10 ms, which fall elsewhere.
      expect(Math.abs(a - b), `${tuning} of ${note.key}`).toBeLessThan(tuning === 'pull' ? 0.15 : 0.011);
    }
  });
}

describe('a piece of the page', () => {
  test.each(NAMES)('%s is in the middle of pass 3 as if it had been played up to there', (name) => {
    const played = new PieceStage().start(name);
    const { lengthMs } = builtIn.find((one) => one.name === name)!;
    played.wait(2 * lengthMs + 0.6 * lengthMs);
    const sought = new PieceStage().start(name).wait(300);
    sought.seek(3, 0.6 * lengthMs).wait(0);
    expectNear(sought.pitches(), played.pitches());
    sought.expectTruth();
    // Also what comes after.
    for (const stage of [played, sought]) stage.wait(lengthMs);
    expectNear(sought.pitches(), played.pitches());
    sought.expectTruth();
  });

  test('has its whole past on the curves, with its passes and a ledger from 1, after a leap', () => {
    const stage = new PieceStage().start('choir-warm-up').wait(100).seek(3, 5000);
    stage.frame();
    const { course, passes, frame } = stage.monitor.toViewerSnapshot(true, COUNTERS);
    const lengthMs = builtIn[0].lengthMs;
    expect(passes.map(({ n }) => n)).toEqual([1, 2, 3]);
    expect(passes[2].atMs).toBeCloseTo(1100 - 5000, 6);
    expect(passes[0].atMs).toBeCloseTo(1100 - 5000 - 2 * lengthMs, 6);
    expect(course.atMs[0]).toBeLessThan(0);
    expect(course.atMs).toEqual([...course.atMs].sort((a, b) => a - b));
    // A comma a pass under free.
    const lowest = Math.min(...course.free.map((cents) => cents ?? 0));
    expect(lowest).toBeLessThan(-2 * 21.5);
    const free = frame.entries.filter(({ strategy }) => strategy === 'free');
    expect(free.map(({ n }) => n)).toEqual(free.map((_, i) => free[0].n + i));
    expect(frame.entries.some(({ pass }) => pass === 2)).toBe(true);
    expect(Math.min(...frame.entries.map(({ n }) => n))).toBe(1);
    expect(frame.totals.free.returns).toBeGreaterThan(2);
  });

  test('begins without drift, whatever was played before it', () => {
    const fresh = new PieceStage().start('trio-of-thirds').wait(5000);
    const later = new PieceStage().start('choir-warm-up').wait(40_000);
    expect(later.frame().drift.free.leftCents).toBeLessThan(-21);
    later.start('trio-of-thirds').wait(5000);
    expectNear(later.pitches(), fresh.pitches());
    const [one, other] = [fresh, later].map((stage) => stage.frame());
    for (const strategy of STRATEGIES) {
      expect(other.drift[strategy].leftCents).toBeCloseTo(one.drift[strategy].leftCents, 1);
      expect(other.totals[strategy].returns).toBe(one.totals[strategy].returns);
    }
    expect(later.monitor.toViewerSnapshot(true, COUNTERS).passes).toHaveLength(1);
    later.expectTruth();
  });

  test('pauses while its chord sounds in every tuning, and goes on', () => {
    const stage = new PieceStage().start('choir-warm-up').wait(9500).pause(true);
    const before = stage.pitches();
    const wasAt = stage.frame().playing?.positionMs;
    stage.wait(5000);
    expect(stage.frame().playing).toMatchObject({ isPaused: true, positionMs: wasAt });
    expect(stage.pitches().map(({ key }) => key)).toEqual(before.map(({ key }) => key));
    for (const tuning of TUNINGS) {
      stage.hear(tuning);
      stage.wait(100);
      stage.expectTruth();
    }
    stage.pause(false).wait(4000);
    expect(stage.frame().playing).toMatchObject({ isPaused: false, positionMs: (wasAt ?? 0) + 4000 });
    stage.pause(true).pieces.player.stop();
    stage.wait(600);
    expect(stage.model().voices).toEqual([]);
  });

  test('goes from chord to chord and back to where it was', () => {
    const stage = new PieceStage().start('choir-warm-up').pause(true);
    const seen = [stage.pitches()];
    for (let i = 0; i < 9; i++) {
      stage.step(1).wait(900);
      seen.push(stage.pitches());
      stage.expectTruth();
    }
    expect(stage.frame().playing?.pass.n).toBeGreaterThan(1);
    for (let i = 8; i >= 0; i--) {
      stage.step(-1).wait(900);
      // Pull and temper depend on how long chords lasted.
      const lasting = (its: typeof seen) =>
        its.map((notes) => notes.map((one) => ({ ...one, pull: 0, temper: 0 })));
      const [now, then] = lasting([stage.pitches(), seen[i]]);
      expectNear(now, then);
      stage.expectTruth();
    }
  });

  test('has the sound and the pedal of a place, and what the pedal holds there', () => {
    const stage = new PieceStage();
    const text =
      '0 0xc0 10, 0 0xb0 64 127, 0 0x90 60 80, 500 0x80 60 0, 1000 0xc0 20, 1000 0x90 62 80, 1500 0xb0 64 0, 1800 0x90 64 80, 2000 0x80 64 0';
    stage.pieces.add(pieceOf(text, { name: 'own' }));
    stage.start('own').seek(1, 1200).wait(50);
    const heard = () =>
      stage.model().voices.map(({ key, program, isDown }) => `${key} ${program} ${isDown ? 'down' : 'held'}`);
    // The program was 20 before either started here.
    expect(heard()).toEqual(['60 20 held', '62 20 down']);
    stage.expectTruth();
    stage.wait(400);
    expect(heard()).toEqual(['62 20 down']);
    stage.expectTruth();
    stage.seek(1, 700).wait(50);
    expect(heard()).toEqual(['60 10 held']);
    stage.expectTruth();
  });

  test('ends what others hold, by keys and pedals, when it begins', () => {
    const stage = new PieceStage();
    stage.keys.feed(0xb0, 64, 127);
    stage.strike(40).wait(100);
    stage.lift(40).strike(41).wait(100);
    expect(stage.model().voices.map(({ key }) => key)).toEqual([40, 41]);
    stage.start('trio-of-thirds').wait(50);
    expect(stage.model().voices.map(({ key }) => key)).not.toContain(40);
    stage.expectTruth();
    stage.keys.feed(0xb0, 64, 0);
    stage.lift(41).wait(50);
    stage.expectTruth();
  });

  test('property: whatever is asked of it, the session is its replica, the synth sounds it, and a stop leaves silence', () => {
    const ms = fc.constantFrom(0, 1, 40, 700, 3000, 9000);
    const doing = fc.oneof(
      fc.record({ what: fc.constant('start' as const), by: fc.constantFrom(...NAMES) }),
      fc.record({ what: fc.constant('step' as const), by: fc.constantFrom(-1 as const, 1 as const) }),
      fc.record({ what: fc.constant('pause' as const), by: fc.boolean() }),
      fc.record({ what: fc.constant('seek' as const), by: fc.tuple(fc.integer({ min: 1, max: 4 }), ms) }),
      fc.record({ what: fc.constant('stretch' as const), by: fc.option(fc.tuple(ms, ms)) }),
      fc.record({ what: fc.constant('tempo' as const), by: fc.constantFrom(0.5, 1, 4) }),
      fc.record({ what: fc.constant('hear' as const), by: fc.constantFrom(...TUNINGS) }),
      fc.record({ what: fc.constant('key' as const), by: fc.integer({ min: 80, max: 84 }) }),
      fc.record({ what: fc.constant('over' as const), by: fc.constant(0) }),
      { weight: 4, arbitrary: fc.record({ what: fc.constant('wait' as const), by: ms }) },
    );
    forAll([fc.array(doing, { minLength: 1, maxLength: 20, size: 'max' })], 40, (list) => {
      const stage = new PieceStage().start('choir-warm-up', 2);
      for (const { what, by } of list) {
        if (what === 'start') stage.start(by);
        else if (what === 'step') stage.step(by);
        else if (what === 'pause') stage.pause(by);
        else if (what === 'seek') stage.seek(...by);
        else if (what === 'stretch') {
          const value = by === null ? null : { fromMs: by[0], toMs: by[1] };
          stage.pieces.take({ type: 'piece', act: 'stretch', value });
        } else if (what === 'tempo') stage.pieces.take({ type: 'piece', act: 'tempo', value: by });
        else if (what === 'hear') stage.hear(by);
        else if (what === 'key') stage.lift(by).strike(by);
        else if (what === 'over') stage.pieces.take({ type: 'piece', act: 'start-over' });
        else stage.wait(by);
        if (what === 'wait') stage.expectTruth();
      }
      stage.expectTruth();
      stage.pieces.take({ type: 'piece', act: 'stop' });
      for (let key = 80; key <= 84; key++) stage.lift(key);
      expect(stage.model().voices).toEqual([]);
      expect(stage.session.counters.faults).toBe(0);
    });
  });

  test('played for hours goes to a place with the drift of its pass alone, and says so once', () => {
    const stage = new PieceStage().start('choir-warm-up').seek(5000, 1000).seek(5001, 1000);
    const notices = stage.messages.filter(({ kind }) => kind === 'notice');
    expect(notices).toHaveLength(1);
    expect(stage.frame().playing?.pass.n).toBe(5001);
    expect(stage.monitor.toViewerSnapshot(true, COUNTERS).passes.map(({ n }) => n)).toEqual([5001]);
    stage.expectTruth();
  });
});

describe('a comma pump of the page', () => {
  test('plays in a loop under its formula and drifts by its comma, and starts again by its name', () => {
    const stage = new PieceStage();
    expect(stage.pieces.take({ type: 'piece', act: 'pump', formula: 'I vi ii V', tempo: 4 })).toBeUndefined();
    // Four chords of 2 s and the first again, at four times the tempo: a pass lasts 2.5 s.
    stage.wait(7600);
    const { playing, drift } = stage.frame();
    expect(playing).toMatchObject({ name: 'I vi ii V', title: 'I vi ii V', loop: true, pass: { n: 4 } });
    expect(playing?.lengthMs).toBe(10_000);
    expect(drift.free.commaCents).toBeCloseTo(-3 * 21.506, 1);
    stage.pieces.take({ type: 'piece', act: 'stop' });
    stage.start('I vi ii V').wait(100);
    stage.expectTruth();
  });

  test('with a mistake in its formula is refused in words, and what plays goes on', () => {
    const stage = new PieceStage().start('choir-warm-up').wait(500);
    const refusal = stage.pieces.take({ type: 'piece', act: 'pump', formula: 'I what V', tempo: 1 });
    expect(refusal?.code).toBe('BAD_FORMULA');
    expect(refusal?.text).toContain('what');
    expect(stage.frame().playing?.name).toBe('choir-warm-up');
    expect(stage.pieces.take({ type: 'piece', act: 'start', name: 'none', tempo: 1, loop: true })?.code).toBe(
      'UNKNOWN_PIECE',
    );
  });
});

test('viewers are told the chords of a piece when it starts, once, and none when it stops', () => {
  const stage = new PieceStage().start('choir-warm-up').wait(100).step(1).seek(2, 0);
  stage.pieces.take({ type: 'piece', act: 'stop' });
  const scores = stage.messages.flatMap((one) => (one.kind === 'score' ? [one.score] : []));
  expect(scores).toHaveLength(2);
  const [score, none] = scores;
  expect(none).toBeNull();
  expect(score?.name).toBe('choir-warm-up');
  // C A D D7 G C in quarters at 80 a minute, two bars of four a pair.
  expect(score?.chords.map(({ keys }) => keys.join(' ')).slice(0, 2)).toEqual(['48 55 64 72', '45 57 64 72']);
  expect(score?.chords[1].atMs).toBe(3000);
  expect(score?.barsMs.slice(0, 3)).toEqual([0, 3000, 6000]);
});
