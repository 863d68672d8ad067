import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';

/** A free General MIDI SoundFont; Debian's package timgm6mb-soundfont puts it there. */
export const SOUNDFONT = process.env.LEEWAY_SOUNDFONT ?? '/usr/share/sounds/sf2/TimGM6mb.sf2';

/** Runs a program of others. One that is missing is a failure, and says how to get it. */
export function runOther(program: string, ...argv: string[]): string {
  try {
    return execFileSync(program, argv, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
    throw new Error(
      `${program} isn't here. On Debian: apt-get install fluidsynth timgm6mb-soundfont sox file`,
    );
  }
}

/** The SoundFont's path; throws where it is missing. */
export function needSoundFont(): string {
  if (!existsSync(SOUNDFONT))
    throw new Error(`There is no ${SOUNDFONT}. LEEWAY_SOUNDFONT names another one.`);
  return SOUNDFONT;
}
