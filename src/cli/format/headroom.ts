import { type Headroom, toHeadroom } from '../../app/live/headroom.js';
import { type LiveSettings, type OutletConfig, toBendRange } from '../../app/live/live-settings.js';
import { count } from '../../core/words/index.js';

/** Less is rounding. */
const ROUNDING_CENTS = 1e-6;

const whole = (cents: number) => `${Math.round(Math.abs(cents))} c`;
/** Never more than there is. */
const spare = (cents: number) => `${Math.floor(cents + ROUNDING_CENTS)} c`;
/** Never less than is missing. */
const missing = (cents: number) => `${Math.ceil(-cents - ROUNDING_CENTS)} c`;

/**
 * An outlet's bend range and what it must carry, in one line.
 * @example formatHeadroom(toHeadroom(DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET))
 *   // 'wheel 200 c, tuning 50 c, drift 8 c; of 4799 c that leaves 4541 c to spare'
 */
export function formatHeadroom(headroom: Headroom): string {
  const { rangeCents, wheelCents, slideCents, tuningCents, driftCents, spareCents } = headroom;
  const slide = slideCents === 0 ? '' : `slide ${whole(slideCents)}, `;
  const parts = `wheel ${whole(wheelCents)}, ${slide}tuning ${whole(tuningCents)}, drift ${whole(driftCents)}`;
  const fit =
    spareCents < 0
      ? `${whole(rangeCents)} falls ${missing(spareCents)} short`
      : `of ${whole(rangeCents)} that leaves ${spare(spareCents)} to spare`;
  return `${parts}; ${fit}`;
}

/**
 * What happens at an outlet whose bend range is too small, and what to set instead; nothing if all fits.
 * @example toHeadroomRemarks({ ...DEFAULT_LIVE_SETTINGS, outlets: [DEFAULT_OUTLET] })  // []
 */
export function toHeadroomRemarks(settings: LiveSettings): string[] {
  return settings.outlets.flatMap((outlet) => {
    const headroom = toHeadroom(settings, outlet);
    return headroom === undefined || headroom.spareCents >= 0 ? [] : [toRemark(outlet, headroom)];
  });
}

function toRemark(outlet: OutletConfig, headroom: Headroom): string {
  const { port } = outlet;
  const range = count(toBendRange(outlet), 'semitone');
  return `the bend range of "${port}", ${range}, is too small: ${toEffect(headroom)}. ${toAdvice(headroom)}`;
}

/** Slides stop first, and then the wheel gives way; what is missing beyond it is missing to the tuning. */
function toEffect({ wheelCents, slideCents, spareCents }: Headroom): string {
  const beyondSlide = spareCents + slideCents;
  const beyond = beyondSlide + wheelCents;
  const slide =
    slideCents === 0
      ? []
      : [`a slide over an octave may stop up to ${missing(Math.max(spareCents, -slideCents))} early`];
  const early =
    wheelCents === 0 || beyondSlide >= 0
      ? []
      : [`the pitch wheel may stop up to ${missing(Math.max(beyondSlide, -wheelCents))} early`];
  const lost = beyond < 0 ? [`a chord may be up to ${missing(beyond)} out of tune`] : [];
  return [...slide, ...early, ...lost].join(', and ');
}

function toAdvice({ wantedRange, wantedWheel, wheelCents, slideCents, spareCents }: Headroom): string {
  const range =
    wantedRange === undefined
      ? []
      : [`set bend-range = ${wantedRange} for the outlet, and the same on the synth`];
  const wheel =
    wheelCents === 0 || wantedWheel === 0 || spareCents + slideCents >= 0
      ? []
      : [`let the wheel reach ${count(wantedWheel, 'semitone')} at most`];
  const [first, ...rest] = [...range, ...wheel];
  return first === undefined
    ? ''
    : `${first[0].toUpperCase()}${first.slice(1)}${rest.map((way) => `, or ${way}`)}`;
}
