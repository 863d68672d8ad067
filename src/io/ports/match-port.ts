import { fail, type Outcome, type Problem, succeed } from '../../core/outcome.js';
import type { PortPlace } from './port-system.js';

/**
 * A place for people: its name, and its number among equal names from the second one on.
 * @example formatPlace({ name: 'Synth', occurrence: 2 })  // 'Synth #2'
 */
export function formatPlace({ name, occurrence }: PortPlace): string {
  return occurrence === 1 ? name : `${name} #${occurrence}`;
}

/**
 * The one place that a wanted name means.
 *
 * The first match decides: the whole name; the whole name in another case; one side of its colon, where the system
 * writes `client:port`; a part of it. Case counts only in the first. A `#2` at the end chooses the second of equal
 * names; `#1` is the first. Numbers match whole: `Port 1` is no part of `Port 10`. PORT_MISSING if nothing matches,
 * PORT_AMBIGUOUS with the choices if several do.
 *
 * @example matchPort('synth #2', [{ name: 'Synth', occurrence: 1 }, { name: 'Synth', occurrence: 2 }])
 *   // { ok: true, value: { name: 'Synth', occurrence: 2 } }
 */
export function matchPort(wanted: string, places: readonly PortPlace[]): Outcome<PortPlace> {
  const text = wanted.trim();
  const whole = findPlaces(text, places);
  const numbered = NUMBERED.exec(text);
  // A port's own name may be "Synth #2"; a name is split only if it matches nothing whole.
  const found =
    whole.length > 0 || numbered === null
      ? whole
      : findPlaces(numbered[1], places).filter(({ occurrence }) => occurrence === Number(numbered[2]));
  if (found.length === 1) return succeed(found[0]);
  return fail(found.length === 0 ? toMissing(text, places) : toAmbiguous(text, found));
}

/** Whether a wanted name chooses one of several equal ones. @example isNumbered('Synth #2')  // true */
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

/** Whether the text is all of the name before a colon, or after it. */
function isSide(name: string, text: string): boolean {
  return name.startsWith(`${text}:`) || name.endsWith(`:${text}`);
}

/** Whether the name contains the text without cutting a number in two. */
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
  // Equal names differ only by their numbers.
  const isTwin = ({ name }: PortPlace): boolean => found.filter((other) => other.name === name).length > 1;
  const choices = found.map((p) => `"${isTwin(p) ? `${p.name} #${p.occurrence}` : formatPlace(p)}"`);
  return {
    code: 'PORT_AMBIGUOUS',
    message: `"${text}" means several MIDI ports`,
    advice: `Choose one of ${choices.join(', ')}.`,
  };
}

/**
 * A port's name without the number added by the system. ALSA's is `client:port`, and changes with each replug.
 *
 * @example toPlaceName('Test Keys:Test Keys MIDI 1 24:0', 'linux')  // 'Test Keys:Test Keys MIDI 1'
 */
export function toPlaceName(fullName: string, platform: NodeJS.Platform): string {
  return platform === 'linux' ? fullName.replace(/ \d+:\d+$/, '') : fullName;
}

/** The `client:port` at the end of an ALSA name. @example toAddress('Test Keys:Test Keys MIDI 1 24:0')  // '24:0' */
export function toAddress(fullName: string): string | undefined {
  return /(?<= )\d+:\d+$/.exec(fullName)?.[0];
}

/**
 * Whether a port is only the near end of an open link, of this or another program with the same library. ALSA lists
 * these, and nobody wants them.
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

/** ALSA's pass-through port: it outputs what it is sent. */
export function isPassThrough({ name }: PortPlace): boolean {
  return name.startsWith('Midi Through');
}
