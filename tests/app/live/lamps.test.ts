import { describe, expect, test } from 'vitest';
import {
  DEFAULT_LAMP,
  type LampConfig,
  type LampState,
  Lamps,
  toLampValue,
} from '../../../src/app/live/lamps.js';
import { parseTonic, toHome } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import type { OutputLink } from '../../../src/io/ports/index.js';

const tonic = parseTonic('Bb');
const STATE: LampState = {
  tuner: toSettings({
    strategy: 'pull',
    limit: 7,
    home: toHome({ kind: 'equal', tonic: tonic.ok ? tonic.value : { keyClass: 0, fifths: 0 } }),
  }),
  preset: 'slow',
  isBypassed: false,
  isDriftHeld: false,
  isCutOff: false,
  driftCents: 0,
  fromHomeCents: 0,
};

function lamp(changes: Partial<LampConfig>): LampConfig {
  return {
    ...DEFAULT_LAMP,
    port: 'Board',
    virtual: false,
    kind: 'controller',
    number: 20,
    shows: 'bypass',
    is: undefined,
    ...changes,
  };
}

/** Lamps on one port, and what it receives. */
function light(...configs: LampConfig[]) {
  const sent: number[][] = [];
  const refused: string[] = [];
  const lamps = new Lamps(configs, (port) => refused.push(port));
  const link: OutputLink = {
    send: (bytes) => void sent.push([...bytes]),
    close: () => {},
    placeNow: () => undefined,
  };
  const take = () => sent.splice(0);
  return { lamps, link, take, refused };
}

describe('the value of a lamp', () => {
  test.each<[Partial<LampConfig>, Partial<LampState>, number]>([
    [{ shows: 'strategy', is: 'pull' }, {}, 127],
    [{ shows: 'strategy', is: 'free' }, {}, 0],
    [{ shows: 'strategy', is: 'pull', on: 5 }, {}, 5],
    [{ shows: 'limit', is: '7' }, {}, 127],
    [{ shows: 'limit', is: '5' }, {}, 0],
    [{ shows: 'tonic', is: 'B♭' }, {}, 127],
    [{ shows: 'tonic', is: 'A♯' }, {}, 0],
    [{ shows: 'preset', is: 'slow' }, {}, 127],
    [{ shows: 'preset', is: 'slow' }, { preset: undefined }, 0],
    [{ shows: 'bypass' }, { isBypassed: true }, 127],
    [{ shows: 'bypass' }, { isDriftHeld: true, isCutOff: true }, 0],
    [{ shows: 'hold-drift' }, { isDriftHeld: true }, 127],
    [{ shows: 'cut-off' }, { isCutOff: true }, 127],
    [{ shows: 'drift' }, { fromHomeCents: 30 }, 64],
    [{ shows: 'drift' }, { driftCents: 50 }, 127],
    [{ shows: 'drift' }, { driftCents: 25 }, 96],
    [{ shows: 'drift' }, { driftCents: -25 }, 32],
    [{ shows: 'drift' }, { driftCents: -50 }, 0],
    [{ shows: 'drift' }, { driftCents: -500 }, 0],
    [{ shows: 'drift' }, { driftCents: 500 }, 127],
    [{ shows: 'drift', leastCents: -10, mostCents: 100 }, { driftCents: -10 }, 0],
    [{ shows: 'from-home' }, { fromHomeCents: 25, driftCents: -50 }, 96],
  ])('%j in the state %j is %i', (config, state, value) => {
    expect(toLampValue(lamp(config), { ...STATE, ...state })).toBe(value);
  });
});

describe('lamps', () => {
  test('are sent when their port is connected, dark ones too, and then only where they change', () => {
    const { lamps, link, take } = light(
      lamp({}),
      lamp({ kind: 'note', number: 60, channel: 3, shows: 'hold-drift' }),
    );
    lamps.touch();
    lamps.update(0, STATE);
    lamps.connect('Board', link);
    expect(lamps.isDue).toBe(true);
    lamps.update(0, { ...STATE, isDriftHeld: true });
    expect(take()).toEqual([
      [0xb0, 20, 0],
      [0x93, 60, 127],
    ]);
    lamps.touch();
    lamps.update(10, { ...STATE, isDriftHeld: true });
    expect(take()).toEqual([]);
    lamps.update(20, { ...STATE, isBypassed: true });
    expect(take()).toEqual([
      [0xb0, 20, 127],
      [0x93, 60, 0],
    ]);
  });

  test('are all sent again to a port that is back', () => {
    const { lamps, link, take } = light(lamp({}), lamp({ number: 21, shows: 'hold-drift' }));
    lamps.connect('Board', link);
    lamps.update(0, { ...STATE, isBypassed: true });
    take();
    lamps.disconnect('Board');
    lamps.update(10, STATE);
    expect(take()).toEqual([]);
    lamps.connect('Board', link);
    lamps.update(20, STATE);
    expect(take()).toEqual([
      [0xb0, 20, 0],
      [0xb0, 21, 0],
    ]);
  });

  test('send a meter 50 times a second at most, and in the end as it is', () => {
    const { lamps, link, take } = light(lamp({ shows: 'drift' }));
    lamps.connect('Board', link);
    const updateAt = (atMs: number, driftCents: number) => lamps.update(atMs, { ...STATE, driftCents });
    for (let atMs = 0; atMs < 1000; atMs += 5) {
      lamps.touch();
      updateAt(atMs, (atMs / 10) % 50);
    }
    expect(take()).toHaveLength(50);
    updateAt(1000, 5);
    updateAt(1010, 10);
    expect(lamps.isDue).toBe(true);
    updateAt(1020, 10);
    expect(take()).toEqual([
      [0xb0, 20, 70],
      [0xb0, 20, 77],
    ]);
    expect(lamps.isDue).toBe(false);
  });

  test('go dark where they are lit, and a meter to its middle', () => {
    const { lamps, link, take } = light(
      lamp({}),
      lamp({ number: 21, shows: 'hold-drift' }),
      lamp({ number: 22, shows: 'drift' }),
    );
    lamps.connect('Board', link);
    lamps.update(0, { ...STATE, isBypassed: true, driftCents: 25 });
    take();
    lamps.darken();
    expect(take()).toEqual([
      [0xb0, 20, 0],
      [0xb0, 22, 64],
    ]);
    lamps.darken();
    expect(take()).toEqual([]);
  });

  test('that are replaced go dark, and the same again stay as they are', () => {
    const { lamps, link, take } = light(lamp({}));
    lamps.connect('Board', link);
    lamps.update(0, { ...STATE, isBypassed: true });
    take();
    lamps.want([lamp({})]);
    expect([take(), lamps.isDue]).toEqual([[], false]);
    lamps.want([lamp({ number: 30 })]);
    lamps.update(10, { ...STATE, isBypassed: true });
    expect(take()).toEqual([
      [0xb0, 20, 0],
      [0xb0, 30, 127],
    ]);
    lamps.want([]);
    expect(take()).toEqual([[0xb0, 30, 0]]);
    lamps.touch();
    expect(lamps.isDue).toBe(false);
  });

  test('report a port that refuses a message once, and send it nothing more', () => {
    const { lamps, refused } = light(lamp({}), lamp({ number: 21 }));
    let tries = 0;
    lamps.connect('Board', {
      send: () => {
        tries++;
        throw new Error('refused on purpose');
      },
      close: () => {},
      placeNow: () => undefined,
    });
    lamps.update(0, STATE);
    lamps.darken();
    expect([refused, tries]).toEqual([['Board'], 1]);
  });

  test.each<[string, number, number[], boolean]>([
    ['the same, just after', 20, [0xb0, 20, 127], true],
    ['the same, later', 26, [0xb0, 20, 127], false],
    ['another value', 20, [0xb0, 20, 126], false],
    ['another channel', 20, [0xb1, 20, 127], false],
    ['a lamp that is off', 20, [0xb0, 21, 0], false],
    ['a meter, whatever its value', 20, [0xb0, 22, 0], true],
  ])('know their own message when it comes back: %s', (_, atMs, [status, data1, data2], isEcho) => {
    const { lamps, link } = light(
      lamp({}),
      lamp({ number: 21, shows: 'hold-drift' }),
      lamp({ number: 22, shows: 'drift' }),
    );
    lamps.connect('Board', link);
    lamps.update(0, { ...STATE, isBypassed: true, driftCents: -99 });
    expect(lamps.isEcho('Board', atMs, status, data1, data2)).toBe(isEcho);
    expect(lamps.isEcho('Keys', atMs, status, data1, data2)).toBe(false);
  });
});
