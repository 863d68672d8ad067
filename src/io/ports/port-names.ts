import type { PortPlace } from './port-system.js';

/**
 * A port's name without the number the system puts behind it. ALSA's is `client:port`, and changes with each replug.
 *
 * @example toPlaceName('Test Keys:Test Keys MIDI 1 24:0', 'linux')  // 'Test Keys:Test Keys MIDI 1'
 */
export function toPlaceName(fullName: string, platform: NodeJS.Platform): string {
  return platform === 'linux' ? fullName.replace(/ \d+:\d+$/, '') : fullName;
}

/** The `client:port` behind a name of ALSA's. @example toAddress('Test Keys:Test Keys MIDI 1 24:0')  // '24:0' */
export function toAddress(fullName: string): string | undefined {
  return /(?<= )\d+:\d+$/.exec(fullName)?.[0];
}

/**
 * Whether a port is only the near end of an open link, of ours or of another program that uses the same library. ALSA
 * lists these, and nobody means them.
 */
export function isLinkEnd(placeName: string, platform: NodeJS.Platform): boolean {
  return platform === 'linux' && LINK_ENDS.includes(placeName);
}

const LINK_ENDS = ['RtMidi Input Client:RtMidi Input', 'RtMidi Output Client:RtMidi Output'];

/**
 * Places for names, each with its number among equal ones.
 * @example toPlaces(['Synth', 'Keys', 'Synth'])[2]  // { name: 'Synth', occurrence: 2 }
 */
export function toPlaces(names: readonly string[]): PortPlace[] {
  const counts = new Map<string, number>();
  return names.map((name) => {
    const occurrence = (counts.get(name) ?? 0) + 1;
    counts.set(name, occurrence);
    return { name, occurrence };
  });
}

/** ALSA's own pass-through: what is sent to it comes out of it. */
export function isPassThrough({ name }: PortPlace): boolean {
  return name.startsWith('Midi Through');
}
