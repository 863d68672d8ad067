import { describe, expect, test } from 'vitest';
import type { Downstream, EntryFact } from '../../../src/core/protocol/index.js';
import { BLANK, reduce, type State } from '../../../src/page/state/state.js';
import { frameOf, returnOf } from '../frames.js';

const take = (state: State, message: Downstream) => reduce(state, { kind: 'message', message });
const withEntries = (state: State, entries: EntryFact[]) => take(state, { ...frameOf('C4'), entries });

describe('reduce', () => {
  test('stores an entry that comes twice once', () => {
    const once = withEntries(BLANK, [returnOf({ n: 1 }), returnOf({ n: 2 })]);
    const twice = withEntries(once, [returnOf({ n: 2 }), returnOf({ n: 3 })]);
    expect(twice.entries.map((entry) => entry.n)).toEqual([1, 2, 3]);
    expect(twice.missed).toBe(0);
  });

  test('counts a gap in the numbers of one strategy, separately from the others', () => {
    const first = withEntries(BLANK, [returnOf({ n: 4 }), returnOf({ n: 9, strategy: 'pull' })]);
    const later = withEntries(first, [returnOf({ n: 7 }), returnOf({ n: 10, strategy: 'pull' })]);
    expect(later.missed).toBe(2);
  });

  test('bounds the entries to the newest', () => {
    let state = BLANK;
    for (let n = 1; n <= 1000; n++) state = withEntries(state, [returnOf({ n })]);
    expect(state.entries).toHaveLength(400);
    expect(state.entries.at(-1)?.n).toBe(1000);
  });

  test('ends rights with the link, and still has what was seen', () => {
    const playing = take(take(BLANK, frameOf('C4 E4')), { type: 'rights', mayControl: true });
    const lost = reduce(playing, { kind: 'link', link: 'lost' });
    expect(lost).toMatchObject({ link: 'lost', mayControl: false });
    expect(lost.frame?.notes).toHaveLength(2);
  });

  test('knows whether a viewer may control once the greeting is answered, and not without a link', () => {
    const opened = reduce(BLANK, { kind: 'link', link: 'open' });
    expect(opened).toMatchObject({ mayControl: false, isGreeted: false });
    const greeted = take(opened, { type: 'rights', mayControl: false });
    expect(greeted).toMatchObject({ mayControl: false, isGreeted: true });
    expect(reduce(greeted, { kind: 'link', link: 'open' }).isGreeted).toBe(true);
    expect(reduce(greeted, { kind: 'link', link: 'lost' }).isGreeted).toBe(false);
  });

  test('marks each start of a pass once', () => {
    const playing = (n: number, atMs: number) => ({
      ...frameOf('C4'),
      playing: {
        name: 'a',
        title: 'A',
        tempo: 1,
        loop: true,
        isPaused: false,
        pass: { n, atMs, left: { free: 0, pull: 0, anchored: 0, temper: 0 } },
        positionMs: 0,
        lengthMs: 1,
        fromMs: 0,
        toMs: 1,
      },
    });
    let state = BLANK;
    for (const frame of [playing(1, 0), playing(1, 0), playing(2, 900), playing(2, 900)])
      state = take(state, frame);
    expect(state.passes).toEqual([
      { n: 1, atMs: 0, left: { free: 0, pull: 0, anchored: 0, temper: 0 } },
      { n: 2, atMs: 900, left: { free: 0, pull: 0, anchored: 0, temper: 0 } },
    ]);
  });

  test('shows the same notice twice as two notices', () => {
    const notice: Downstream = { type: 'notice', level: 'info', text: 'Plugged in.' };
    const first = take(BLANK, notice);
    expect(take(first, notice).notice?.n).not.toBe(first.notice?.n);
    expect(reduce(first, { kind: 'notice-read' }).notice).toBeUndefined();
    expect(take(BLANK, { type: 'refused', code: 'NO_TOKEN', text: 'No.' }).notice?.level).toBe('warning');
  });
});
