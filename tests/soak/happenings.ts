import type { Stage } from './stage.js';

/** What happens, how often, in milliseconds. */
const DROP_MS = 30_000;
const RELOAD_MS = 23_000;
const REFUSAL_MS = 41_000;
/** How long a port is away: at times so short that nobody looks meanwhile. */
const AWAY_MS = [80, 1500, 3000];

/** What happens to a concert: ports that go and come back, settings that are written anew, messages that are refused. */
export class Happenings {
  readonly counts = { drops: 0, reloads: 0, refusals: 0 };
  readonly #stage: Stage;
  readonly #random: (below: number) => number;
  #timers: NodeJS.Timeout[] = [];
  #away = 0;

  constructor(stage: Stage, random: (below: number) => number) {
    this.#stage = stage;
    this.#random = random;
  }

  start(): void {
    this.#timers = [
      setInterval(() => this.#drop(), DROP_MS),
      setInterval(() => {
        this.counts.reloads++;
        this.#stage.writeSettings();
        this.#stage.pace.happen('settings written');
      }, RELOAD_MS),
      setInterval(() => {
        this.counts.refusals++;
        this.#stage.synths[this.#random(3)].refuseNext();
      }, REFUSAL_MS),
    ];
  }

  /** Whether every port is there. */
  get isWhole(): boolean {
    return this.#away === 0;
  }

  stop(): void {
    for (const timer of this.#timers) clearInterval(timer);
  }

  #drop(): void {
    const { players, synths } = this.#stage;
    const all = [...players, ...synths];
    const device = all[this.counts.drops++ % all.length];
    device.unplug();
    this.#stage.pace.happen(`${device.name} unplugged`);
    this.#away++;
    setTimeout(() => {
      device.replug();
      this.#stage.pace.happen(`${device.name} plugged in`);
      this.#away--;
    }, AWAY_MS[this.#random(AWAY_MS.length)]);
  }
}
