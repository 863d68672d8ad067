import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type SessionMessage, SessionMonitor } from '../../../src/core/monitor/index.js';
import { toPresentTuner } from '../../../src/core/monitor/present-tuner.js';
import { STRATEGIES } from '../../../src/core/protocol/index.js';
import { type Strategy, type Tuner, toSettings, toSoundingCents } from '../../../src/core/tuner/index.js';
import { FACTS } from '../../support/feed-stage.js';
import { forAll } from '../../support/properties.js';
import { toRows } from '../../support/rows.js';

const SETTINGS = toSettings({});
const START = { settings: SETTINGS, facts: FACTS };

const orders = fc.array(
  fc.tuple(
    fc.constantFrom(5, 40, 300, 1200),
    fc.oneof(
      { weight: 6, arbitrary: fc.record({ key: fc.integer({ min: 55, max: 70 }), on: fc.boolean() }) },
      {
        weight: 1,
        arbitrary: fc.record({
          strategy: fc.constantFrom(...STRATEGIES),
          how: fc.constantFrom('heard', 'settings'),
        }),
      },
      { weight: 1, arbitrary: fc.record({ pull: fc.constantFrom(0, 5, 40) }) },
      { weight: 1, arbitrary: fc.record({ begin: fc.constant(true) }) },
      { weight: 2, arbitrary: fc.constant('time' as const) },
      { weight: 1, arbitrary: fc.constant('state' as const) },
    ),
  ),
  { minLength: 1, maxLength: 60, size: 'max' },
);

/** Settings of a session under a strategy. */
const toOwn = (strategy: Strategy, pull: number) =>
  strategy === 'pull' ? toSettings({ strategy, leewayCents: pull }) : toSettings({ strategy });

const seen = (tuner: Tuner) => ({
  strategy: tuner.settings.strategy,
  leewayCents: tuner.settings.leewayCents,
  nextId: tuner.nextId,
  notes: tuner.notes.map((note) => [note.id, note.key, note.point, toSoundingCents(tuner, note)]),
  offset: tuner.offset,
});

test('property: a tuner that is worked out is the replica of its strategy, whatever was told since the last state', () => {
  forAll([orders], 150, (list) => {
    const monitor = new SessionMonitor({ ...START, pieces: [], session: 'here' });
    let snapshot: ReturnType<SessionMonitor['toSnapshot']>;
    let messages: SessionMessage[] = [];
    let settings = SETTINGS;
    let facts = FACTS;
    let atMs = 0;
    const tell = (message: SessionMessage) => {
      messages.push(message);
      monitor.take(message);
    };
    for (const [waitMs, order] of list) {
      atMs += waitMs;
      if (order === 'time') tell(toRows({ kind: 'time', atMs }));
      else if (order === 'state') {
        const state = monitor.toSnapshot();
        if (state !== undefined) [snapshot, messages] = [structuredClone(state), []];
      } else if ('key' in order)
        tell(toRows({ kind: order.on ? 'note-on' : 'note-off', atMs, part: 0, key: order.key }));
      else if ('begin' in order) tell({ kind: 'rebuilt', atMs, nextId: 1000, passes: [] });
      else if ('pull' in order) {
        facts = { ...facts, leewayCents: { ...facts.leewayCents, pull: order.pull } };
        tell({ kind: 'facts', atMs, facts });
      } else {
        const { strategy, how } = order;
        settings =
          how === 'heard'
            ? monitor.replicas.tuners[strategy].settings
            : toOwn(strategy, facts.leewayCents.pull);
        tell(
          how === 'heard' ? { kind: 'heard', settings, facts } : { kind: 'settings', atMs, settings, facts },
        );
      }
    }
    // Whatever was due by now is done in both.
    const now = toRows({ kind: 'keys-up', atMs: atMs + 50, part: 9 });
    tell(now);
    for (const strategy of STRATEGIES) {
      const tuner = toPresentTuner({ ...START, snapshot }, messages, strategy);
      expect(seen(tuner)).toEqual(seen(monitor.replicas.tuners[strategy]));
    }
  });
});
