import type { Palette } from './course-svg.js';

/** The colours the style sheet gives the page now. */
export function readPalette(): Palette {
  const style = getComputedStyle(document.documentElement);
  const colour = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return {
    paper: colour('paper'),
    ink: colour('ink'),
    faint: colour('faint'),
    rule: colour('rule'),
    band: colour('band'),
    free: colour('free'),
    pull: colour('pull'),
    anchored: colour('anchored'),
    temper: colour('temper'),
  };
}
