import { fail, type Outcome, type Problem, succeed } from '../../core/outcome.js';
import type { PortPlace } from './port-system.js';

/**
 * A place as people name it: its name, and its number among equal names from the second one on.
 * @example formatPlace({ name: 'Synth', occurrence: 2 })  // 'Synth #2'
 */
export function formatPlace({ name, occurrence }: PortPlace): string {
  return occurrence === 1 ? name : `${name} #${occurrence}`;
}

/**
 * The one place that a wanted name means.
 *
 * The first of these that finds any place decides: the whole name; the whole name in another case; one side of its
 * colon, where the system writes `client:port`; a part of it. Case counts only in the first. A `#2` at the end picks the
 * second of equal names; `#1` is the first. A number is never cut: `Port 1` is no part of `Port 10`.
 *
 * PORT_MISSING if nothing fits, PORT_AMBIGUOUS with the choices if several do.
 *
 * @example matchPort('synth #2', [{ name: 'Synth', occurrence: 1 }, { name: 'Synth', occurrence: 2 }])
 *   // { ok: true, value: { name: 'Synth', occurrence: 2 } }
 */
export function matchPort(wanted: string, places: readonly PortPlace[]): Outcome<PortPlace> {
  const text = wanted.trim();
  const whole = findPlaces(text, places);
  const numbered = NUMBERED.exec(text);
  // A port may be called "Synth #2" itself; only a name that means nothing as it stands is taken apart.
  const found =
    whole.length > 0 || numbered === null
      ? whole
      : findPlaces(numbered[1], places).filter(({ occurrence }) => occurrence === Number(numbered[2]));
  if (found.length === 1) return succeed(found[0]);
  return fail(found.length === 0 ? toMissing(text, places) : toAmbiguous(text, found));
}

/** Whether a wanted name picks one of several equal ones. @example isNumbered('Synth #2')  // true */
export function isNumbered(wanted: string): boolean {
  return NUMBERED.test(wanted.trim());
}

const NUMBERED = /^(.*\S)\s*#([1-9]\d*)$/;

function findPlaces(text: string, places: readonly PortPlace[]): PortPlace[] {
  if (text === '') return [];
  const lower = text.toLowerCase();
  const rules: ((name: string) => boolean)[] = [
    (name) => name === text,
    (name) => name.toLowerCase() === lower,
    (name) => isSide(name.toLowerCase(), lower),
    (name) => isPart(name.toLowerCase(), lower),
  ];
  for (const fits of rules) {
    const found = places.filter(({ name }) => fits(name));
    if (found.length > 0) return found;
  }
  return [];
}

/** Whether the text is all that stands before a colon of the name, or behind it. */
function isSide(name: string, text: string): boolean {
  return name.startsWith(`${text}:`) || name.endsWith(`:${text}`);
}

/** Whether the text stands somewhere in the name without cutting a number in two. */
function isPart(name: string, text: string): boolean {
  for (let at = name.indexOf(text); at >= 0; at = name.indexOf(text, at + 1)) {
    const end = at + text.length;
    if (!isWithinNumber(name, at) && !isWithinNumber(name, end)) return true;
  }
  return false;
}

function isWithinNumber(name: string, at: number): boolean {
  return /\d/.test(name.charAt(at - 1)) && /\d/.test(name.charAt(at));
}

function toMissing(text: string, places: readonly PortPlace[]): Problem {
  const there = places.map((place) => `"${formatPlace(place)}"`).join(', ');
  return {
    code: 'PORT_MISSING',
    message: `there is no MIDI port "${text}"`,
    advice: there === '' ? 'None is there at all.' : `There are: ${there}.`,
  };
}

function toAmbiguous(text: string, found: readonly PortPlace[]): Problem {
  // Where names are equal, only their numbers tell them apart.
  const isTwin = ({ name }: PortPlace): boolean => found.filter((other) => other.name === name).length > 1;
  const choices = found.map((p) => `"${isTwin(p) ? `${p.name} #${p.occurrence}` : formatPlace(p)}"`);
  return {
    code: 'PORT_AMBIGUOUS',
    message: `"${text}" means several MIDI ports`,
    advice: `Choose one of ${choices.join(', ')}.`,
  };
}

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
