import type { LiveSettings } from '../app/live/live-settings.js';
import { toWantedPorts } from '../app/live/port-manager.js';
import type { LeewayError } from '../io/leeway-error.js';
import {
  diagnose,
  formatPlace,
  lookUpPort,
  nearestPort,
  type PortList,
  type PortPlace,
} from '../io/ports/index.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatPorts, type PortLookup } from './format/ports.js';
import { complain, say } from './say.js';
import { gatherLiveSettings, type RawOptions } from './settings/index.js';
import type { World } from './world.js';

/** Increases when a field changes its meaning or is removed, not when one is added. */
const PORTS_VERSION = 1;

const NO_PORTS: PortList = { inputs: [], outputs: [] };

/**
 * `leeway ports`: the present ports, what the wanted names mean, and what is missing. Throws a LeewayError if the
 * settings can't be read, or if the ports of a system that has MIDI can't be listed.
 */
export async function runPorts(options: RawOptions, world: World): Promise<ExitCode> {
  const { settings: path } = options;
  const gathered = await gatherLiveSettings(typeof path === 'string' ? path : undefined, options);
  if (!gathered.ok) {
    complain(world, gathered.mistakes);
    return EXIT.mistake;
  }
  const { system, missing } = await diagnose(world.openPorts);
  try {
    const list = system?.list() ?? NO_PORTS;
    const lookups = toLookups(gathered.settings, list);
    if (options.json === true) {
      const report = toJson(list, system?.virtualPorts ?? false, lookups, missing);
      say(world.stdout, [JSON.stringify(report, null, 2)]);
    } else {
      if (system !== undefined) say(world.stdout, formatPorts(list, lookups));
      complain(world, missing);
    }
    return system === undefined ? EXIT.noMidi : EXIT.done;
  } finally {
    system?.close();
  }
}

function toLookups(settings: LiveSettings, { inputs: from, outputs: to }: PortList): PortLookup[] {
  const toLookup = (direction: PortLookup['direction'], name: string, own: boolean): PortLookup => {
    const places = direction === 'input' ? from : to;
    const found = own ? undefined : lookUpPort(name, places);
    return {
      direction,
      name,
      own,
      found,
      nearest: found?.ok === false ? nearestPort(name, places) : undefined,
    };
  };
  return toWantedPorts(settings).all.map(({ direction, name, own }) => toLookup(direction, name, own));
}

function toJson(
  { inputs, outputs }: PortList,
  virtualPorts: boolean,
  lookups: readonly PortLookup[],
  missing: readonly LeewayError[],
) {
  return {
    kind: 'leeway ports',
    version: PORTS_VERSION,
    usable: !missing.some(({ exitCode }) => exitCode === EXIT.noMidi),
    virtualPorts,
    inputs: inputs.map(toPlaceJson),
    outputs: outputs.map(toPlaceJson),
    wanted: lookups.map(({ direction, name, own, found }) => ({
      direction,
      name,
      virtual: own,
      opens: found?.ok ? toPlaceJson(found.value) : null,
      problem: found === undefined || found.ok ? null : found.problem,
    })),
    missing: missing.map(({ code, message, advice }) => ({ code, message, advice })),
  };
}

/** `wanted` is the unambiguous name of this place for settings and options. */
function toPlaceJson(place: PortPlace) {
  return { name: place.name, occurrence: place.occurrence, wanted: formatPlace(place) };
}
