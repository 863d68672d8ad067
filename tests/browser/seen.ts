import type { Page } from 'playwright-core';

/** What stood on the sheet in one picture. */
export interface Sight {
  /** "Free is 43.0 c below home after 2 passes; anchored is 8.0 c below home." */
  readonly headline: string;
  /** Names of the sounding notes, from the lowest up. */
  readonly chord: string;
  /** What the ends of the three lines say, in cents. */
  readonly free: number;
  readonly pull: number;
  readonly anchored: number;
  /** What is said of the connection; empty while all is well. */
  readonly link: string;
  /** How many pictures in a row showed just this. */
  readonly pictures: number;
}

/** A chord of a piece as it was seen in one of its passes. */
export interface SeenChord {
  /** Passes before this one. */
  readonly pass: number;
  /** Letters of its notes, from the lowest up: "CGEC". */
  readonly letters: string;
  readonly free: number;
  /** The nearest to home that it was seen. */
  readonly pull: number;
  readonly anchored: number;
}

/** Fewer pictures than this are too few to be sure of a chord. */
const SURE = 4;

/** From the next page load on, writes down what each picture shows. */
export async function watchSheet(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const sights: { pictures: number }[] = [];
    let last = '';
    const text = (selector: string) => document.querySelector(selector)?.textContent ?? '';
    const cents = (line: string) =>
      Number.parseFloat(text(`.line-end.${line}`).slice(line.length).replace('−', '-'));
    const look = () => {
      const names = [...document.querySelectorAll('.ladder .name')].map((one) => one.textContent);
      const sight = {
        headline: text('.headline'),
        chord: text('.chord h2') === 'Chord' ? names.join(' ') : '',
        free: cents('free'),
        pull: cents('pull'),
        anchored: cents('anchored'),
        link: text('.link'),
      };
      const key = JSON.stringify(sight);
      if (key === last) sights[sights.length - 1].pictures++;
      else sights.push({ ...sight, pictures: 1 });
      last = key;
      requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
    Object.assign(globalThis, { sights });
  });
}

/** Everything that was seen since the page was loaded. */
export async function readSights(page: Page): Promise<Sight[]> {
  return page.evaluate(() => (globalThis as unknown as { sights: never[] }).sights);
}

/**
 * The chords of a piece that were seen, one for each chord of each pass. A chord whose pictures were too few to be sure of
 * is left out: it comes round again.
 */
export function toSeenChords(sights: readonly Sight[]): SeenChord[] {
  const groups = new Map<string, Sight[]>();
  for (const sight of sights) {
    if (sight.chord === '' || sight.link !== '' || Number.isNaN(sight.free)) continue;
    const key = `${toPass(sight.headline)} ${sight.chord}`;
    groups.set(key, [...(groups.get(key) ?? []), sight]);
  }
  return [...groups.values()]
    .filter((group) => group.reduce((sum, { pictures }) => sum + pictures, 0) >= SURE)
    .map((group) => ({
      pass: toPass(group[0].headline),
      letters: group[0].chord.replace(/[^A-G]/g, ''),
      // A picture at the seam of two chords may show the name of one and the line of the other.
      free: toUsual(group, ({ free }) => free),
      pull: Math.max(...group.map(({ pull }) => pull)),
      anchored: toUsual(group, ({ anchored }) => anchored),
    }));
}

/** Passes before the present one. */
const toPass = (headline: string): number => Number(/ after (\d+) pass/.exec(headline)?.[1] ?? 0);

/** What the most pictures show. */
function toUsual(group: readonly Sight[], of: (sight: Sight) => number): number {
  const pictures = new Map<number, number>();
  for (const sight of group) pictures.set(of(sight), (pictures.get(of(sight)) ?? 0) + sight.pictures);
  return [...pictures].reduce((most, one) => (one[1] > most[1] ? one : most))[0];
}
