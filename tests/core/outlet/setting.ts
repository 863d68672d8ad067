/** What a part has set, as the player sees it. Unset controllers stand at the receiver's defaults. */
export interface Setting {
  readonly controllers: Map<number, number>;
  program: readonly [program: number, bank: number, bankLsb: number];
  pressure: number;
  fineCents: number;
  wheel: number;
  rangeSemitones: number;
}

/** The receiver's defaults, so that a channel taken over from another part is checked for what this one left unset. */
const UNSET = { 0: 0, 1: 0, 7: 100, 10: 64, 11: 127, 32: 0, 33: 0, 64: 0, 66: 0, 67: 0, 74: 64, 91: 40 };
const DEFAULTS = Object.entries(UNSET).map(([controller, value]) => [Number(controller), value] as const);

/** A part's setting; for a part not heard before, where everything stands at the receiver's defaults. */
export function getOrMake(settings: Map<number, Setting>, part: number): Setting {
  let setting = settings.get(part);
  if (setting === undefined) {
    setting = {
      controllers: new Map(DEFAULTS),
      program: [0, 0, 0],
      pressure: 0,
      fineCents: 0,
      wheel: 8192,
      rangeSemitones: 2,
    };
    settings.set(part, setting);
  }
  return setting;
}
