import { formatPlace } from '../../core/theory/index.js';
import { toSettingsReport } from '../settings-report.js';
import { isMeter } from './lamps.js';
import { DEFAULT_SWITCH, type LiveSettings, toBendRange } from './live-settings.js';

/**
 * The settings of a live session in JSON: channels and programs counted from 1, `null` for all, and bend ranges filled
 * in.
 */
export function toLiveJson(settings: LiveSettings) {
  const { tuner, inputs, splits, outlets, actions, presets, knobs, lamps } = settings;
  const { fuse, waitMs, systemMessages, takeDirectory } = settings;
  return {
    tuning: toSettingsReport(tuner),
    inputs: inputs.map(({ port, virtual, role, bendRange, channels }) => ({
      port,
      virtual,
      role,
      bendRange,
      channels: toChannels(channels),
    })),
    splits: splits.map(({ name, input, role, channels, lowest, highest, transpose, controllers }) => ({
      name: name ?? null,
      input,
      role,
      channels: toChannels(channels),
      lowest,
      highest,
      transpose,
      controllers,
    })),
    outlets: outlets.map((outlet) => ({
      port: outlet.port,
      virtual: outlet.virtual,
      kind: outlet.kind,
      bendRange: outlet.kind === 'mts' ? null : toBendRange(outlet),
      zone: outlet.kind === 'mpe' ? outlet.zone : null,
      members: outlet.kind === 'mpe' ? outlet.members : null,
      channels: toChannels(outlet.channels),
      releaseHoldMs: outlet.releaseHoldMs,
      wire: outlet.wire,
      from: outlet.from ?? null,
    })),
    actions: actions.map(({ on, action, strategy, limit, tonic, preset }) => ({
      [on.kind]: on.kind === 'program' ? on.number + 1 : on.number,
      switch: on.kind === 'controller' ? (on.switch ?? DEFAULT_SWITCH) : null,
      channel: on.channel === undefined ? null : on.channel + 1,
      input: on.input ?? null,
      do: action,
      strategy: strategy ?? null,
      limit: limit ?? null,
      tonic: tonic === undefined ? null : formatPlace(tonic.fifths),
      preset: preset ?? null,
    })),
    presets: presets.map(({ name, tuner: its }) => ({ name, tuning: toSettingsReport(its) })),
    knobs: knobs.map(({ controller, channel, input, sets, least, most }) => ({
      controller,
      channel: channel === undefined ? null : channel + 1,
      input: input ?? null,
      sets,
      least,
      most,
    })),
    lamps: lamps.map((lamp) => ({
      port: lamp.port,
      virtual: lamp.virtual,
      channel: lamp.channel + 1,
      [lamp.kind]: lamp.number,
      shows: lamp.shows,
      is: lamp.is ?? null,
      on: isMeter(lamp) ? null : lamp.on,
      leastCents: isMeter(lamp) ? lamp.leastCents : null,
      mostCents: isMeter(lamp) ? lamp.mostCents : null,
    })),
    fuse,
    waitMs,
    passSystem: systemMessages,
    take: takeDirectory ?? null,
  };
}

function toChannels(channels: readonly number[] | undefined): number[] | null {
  return channels?.map((channel) => channel + 1) ?? null;
}
