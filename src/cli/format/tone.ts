import { type OutletConfig, toBendRange } from '../../app/live/live-settings.js';
import type { Tone } from '../../app/live/tones.js';
import { count } from '../../core/words/index.js';
import { formatOutletConfig } from './live.js';
import { wrap } from './wrap.js';

/** The text before the first tone. */
export function formatToneGreeting(outlet: OutletConfig): string[] {
  const connect = outlet.virtual
    ? `Connect "${outlet.port}" to the synth now; the tones come again until it is heard. `
    : '';
  return [
    ...wrap(
      '',
      'Mind your ears: turn the volume down before the first note, above all with headphones, and up slowly.',
    ),
    ...wrap('', `Playing to ${formatOutletConfig(outlet)}.`),
    ...wrap(
      '',
      `${connect}Choose a steady sound on the synth, without vibrato or chorus: an organ, say. The tones go round until you stop them with Ctrl+C.`,
    ),
  ];
}

/** What one should hear, and what to do otherwise. @example A pure major third over it: after two seconds … */
export function formatTone({ kind }: Tone, outlet: OutletConfig): string[] {
  switch (kind) {
    case 'note':
      return wrap(
        '1  ',
        `A single soft note. Nothing to hear? Look at the cable or the connection, and that the synth listens ${where(outlet)}.`,
      );
    case 'third':
      return wrap(
        '2  ',
        `A pure major third joins it: the two stand still, as one sound. If they waver several times a second, ${remedy(outlet)}`,
      );
    case 'fifth':
      return wrap(
        '3  ',
        `A pure fifth joins it, and stands still as well. If it wavers, slowly perhaps, ${remedy(outlet)}`,
      );
    case 'unison':
      return wrap(
        '4  ',
        `The same note a second time, made by the next key ${outlet.kind === 'mts' ? 'tuned' : 'bent'} down a semitone: nothing but one note. If it wavers, or two notes are heard, ${remedy(outlet)}`,
      );
  }
}

function where({ kind, zone, channels }: OutletConfig): string {
  switch (kind) {
    case 'mpe':
      return `as an MPE instrument, ${zone} zone`;
    case 'multichannel':
      return `on ${channels === undefined ? 'all channels' : 'the channels given'}, with a sound on each`;
    case 'mts':
      return 'on channel 1';
  }
}

function remedy(outlet: OutletConfig): string {
  const { kind } = outlet;
  if (kind === 'mts')
    return "the synth doesn't follow tuning messages (MIDI Tuning Standard): use --outlet mpe or --outlet multichannel.";
  const range = count(toBendRange(outlet), 'semitone');
  const place = kind === 'mpe' ? 'for the notes of the MPE zone' : 'on every channel';
  return `the synth has another bend range: set it to ${range} on the synth, ${place}; or tell Leeway the range it has, with --bend-range or in the settings.`;
}
