import { STOCK_INPUT, STOCK_LIVE_SETTINGS, STOCK_OUTLET } from '../../app/live/live-settings.js';
import { STOCK_BEND_RANGE } from '../../app/outlet-choice.js';
import { toA4Hz, toTonicName } from '../../app/settings-report.js';
import { STOCK_PLAN } from '../../core/score/index.js';
import { STOCK_SETTINGS, STRATEGIES, type Strategy, toSettings } from '../../core/tuner/index.js';
import { ACTIONS, ENDS, HELD, OUTLETS, PLANS, WIRES, ZONES } from '../choices.js';
import { RANGES } from '../ranges.js';
import { formatList, HOME_KINDS } from '../read-values.js';
import type { SETTINGS } from '../settings-schema.js';

/** What there is to say of a key of a settings file. */
export interface SettingWords {
  /** What may stand there. */
  readonly values: string;
  readonly stock: string;
  readonly does: string;
}

/** The stock value of what is not there unless it is given. */
export const NO_STOCK = 'none';

type Words = {
  readonly [T in keyof typeof SETTINGS]: {
    readonly about: string;
    readonly keys: { readonly [K in keyof (typeof SETTINGS)[T]]: SettingWords };
  };
};

/** Every table and key of a settings file, in words. One that is missing here doesn't compile. */
export const SETTING_WORDS: Words = {
  tuning: {
    about: '[tuning]: how notes are tuned',
    keys: {
      limit: {
        values: '3, 5, 7, 11 or 13',
        stock: String(STOCK_SETTINGS.limit),
        does: 'the highest prime in the ratios',
      },
      home: {
        values: `${formatWords(HOME_KINDS)}, or a list of twelve ratios or cents`,
        stock: quote(STOCK_SETTINGS.home.kind),
        does: 'the scale drift is measured from',
      },
      tonic: {
        values: 'a note name, such as "F#"',
        stock: quote(toTonicName(STOCK_SETTINGS)),
        does: 'the note home is built on',
      },
      a4: {
        values: '220 to 880 Hz',
        stock: String(toA4Hz(STOCK_SETTINGS)),
        does: 'the pitch of the A above middle C',
      },
      strategy: {
        values: formatWords(STRATEGIES),
        stock: quote(STOCK_SETTINGS.strategy),
        does: 'who pays for pure chords',
      },
      leeway: {
        values: formatBounds('leeway'),
        stock: `${toStockLeeway('anchored')} anchored, ${toStockLeeway('pull')} pull`,
        does: 'how far the sounding notes may stand from home',
      },
      rate: {
        values: formatBounds('rate'),
        stock: String(STOCK_SETTINGS.rateCentsPerSecond),
        does: 'how fast pull draws back',
      },
      recall: {
        values: formatBounds('recall'),
        stock: String(STOCK_SETTINGS.recallCents),
        does: 'how many cents a note may be off a pure chord to come back where it was; 0: pure chords come first',
      },
      held: {
        values: formatWords(HELD),
        stock: quote(STOCK_SETTINGS.held),
        does: 'what held notes do when the others move',
      },
      glide: {
        values: formatBounds('glide'),
        stock: String(STOCK_SETTINGS.glideMs),
        does: 'how long a held note takes to follow',
      },
      'strike-window': {
        values: formatBounds('strike-window'),
        stock: String(STOCK_SETTINGS.strikeWindowMs),
        does: 'how long a note may still be revised by what is struck with it',
      },
      plan: {
        values: formatWords(PLANS),
        stock: quote(PLANS[0]),
        does: 'for files: whole tunes with the whole piece known, live as it would be played',
      },
      end: {
        values: formatWords(ENDS),
        stock: quote(STOCK_PLAN.end),
        does: 'for planned files: home leaves no drift at the end',
      },
      smooth: {
        values: formatBounds('smooth'),
        stock: String(STOCK_PLAN.smoothSeconds),
        does: 'for planned files under anchored: how many seconds a note may stand a cent away from home, within the leeway, before that is as bad as moving it',
      },
    },
  },
  input: {
    about: '[[input]]: a port to be played from; one table for each',
    keys: {
      port: { values: 'a name', stock: quote(STOCK_INPUT.port), does: 'what the port is called' },
      virtual: {
        values: 'true or false',
        stock: 'true without port, else false',
        does: 'make the port ourselves, for other programs to play to',
      },
      channels: {
        values: `a list of ${formatSpan('channel')}, [] for none`,
        stock: 'all',
        does: 'the channels that are tuned; the rest passes unchanged',
      },
      'bend-range': {
        values: formatBounds('bend-range'),
        stock: String(STOCK_INPUT.bendRange),
        does: "how far the player's own pitch wheel reaches",
      },
    },
  },
  outlet: {
    about: '[outlet], or [[outlet]] for each of several: a port to play to',
    keys: {
      port: { values: 'a name', stock: quote(STOCK_OUTLET.port), does: 'what the port is called' },
      virtual: {
        values: 'true or false',
        stock: 'true without port, else false',
        does: 'make the port ourselves, for other programs to hear',
      },
      kind: {
        values: formatWords(OUTLETS),
        stock: quote(STOCK_OUTLET.kind),
        does: 'how the pitch travels',
      },
      'bend-range': {
        values: formatBounds('bend-range'),
        stock: `${STOCK_BEND_RANGE.mpe} mpe, ${STOCK_BEND_RANGE.multichannel} multichannel`,
        does: "the synth's pitch-bend range; not for mts",
      },
      zone: {
        values: formatWords(ZONES),
        stock: quote(STOCK_OUTLET.zone),
        does: 'mpe: which end of the sixteen channels is used',
      },
      members: {
        values: formatBounds('members'),
        stock: String(STOCK_OUTLET.members),
        does: 'mpe: how many channels carry notes',
      },
      channels: {
        values: `a list of ${formatSpan('channel')}`,
        stock: 'all but 10',
        does: 'multichannel: the channels that carry notes',
      },
      'release-hold': {
        values: formatBounds('release-hold'),
        stock: String(STOCK_OUTLET.releaseHoldMs),
        does: 'how long the tail of a released note is kept from being bent; not for mts',
      },
      wire: {
        values: formatWords(WIRES),
        stock: quote(STOCK_OUTLET.wire),
        does: 'din for a cable with round plugs, which is slow: 3125 bytes a second',
      },
      from: { values: 'a list of names', stock: 'all inputs', does: 'the inputs it plays, by their ports' },
    },
  },
  action: {
    about: '[[action]]: something to ask for while playing; one table for each',
    keys: {
      controller: {
        values: formatSpan('controller'),
        stock: NO_STOCK,
        does: 'the controller that asks, a foot switch for example; it is not passed on',
      },
      note: {
        values: `${formatSpan('key')}, or a name such as "A0", middle C being "C4"`,
        stock: NO_STOCK,
        does: 'the key that asks, instead of a controller; it is not played',
      },
      program: {
        values: formatSpan('program'),
        stock: NO_STOCK,
        does: 'the program change that asks, instead of a controller; it is not passed on',
      },
      channel: { values: formatSpan('channel'), stock: 'any', does: 'the channel it must come on' },
      input: { values: 'a name', stock: 'any', does: 'the input it must come from, by its port' },
      do: { values: formatWords(ACTIONS), stock: NO_STOCK, does: 'what is asked for' },
      strategy: {
        values: formatWords(STRATEGIES),
        stock: NO_STOCK,
        does: 'the strategy to change to, with do = "strategy"',
      },
    },
  },
  live: {
    about: '[live]: a live session as a whole',
    keys: {
      fuse: {
        values: formatBounds('fuse'),
        stock: String(STOCK_LIVE_SETTINGS.fuse),
        does: 'an input that sends more is cut off, since it probably hears itself; a DIN cable carries 1000 at most',
      },
      'pass-system': {
        values: 'true or false',
        stock: String(STOCK_LIVE_SETTINGS.systemMessages),
        does: 'let clock, transport and SysEx pass',
      },
      take: { values: 'a folder', stock: NO_STOCK, does: 'record what is played, and what goes out, there' },
    },
  },
};

function toStockLeeway(strategy: Strategy): number {
  return toSettings({ strategy }).leewayCents;
}

/** Bounds and unit of a number. @example formatBounds('leeway')  // '0 to 600 cents' */
function formatBounds(name: keyof typeof RANGES): string {
  return `${formatSpan(name)} ${RANGES[name].unit}`;
}

/** Bounds without the unit. @example formatSpan('channel')  // '1 to 16' */
function formatSpan(name: keyof typeof RANGES): string {
  return `${RANGES[name].least} to ${RANGES[name].most}`;
}

function formatWords(words: readonly string[]): string {
  return formatList(words.map(quote));
}

function quote(word: string): string {
  return `"${word}"`;
}
