import { expect, test } from 'vitest';
import { toFrontier } from '../../../../src/core/score/plan/frontier.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { pose, smallPieces } from '../../../support/planning.js';
import { forAll } from '../../../support/properties.js';

test('the frontier has what later strikes depend on and what is held, each from where it was before', () => {
  forAll([smallPieces(12)], (notes) => {
    const { problem } = pose(notes, toSettings({ strategy: 'free' }));
    const kept = problem.ending;
    const { slots, from } = toFrontier(problem, kept);
    problem.strikes.forEach(({ first, end }, at) => {
      const later = problem.strikes.slice(at + 1).flatMap(({ context }) => context.map(({ slot }) => slot));
      const wanted = new Set([...later, ...kept].filter((slot) => slot < end));
      expect(new Set(slots[at])).toEqual(wanted);
      expect(slots[at]).toHaveLength(wanted.size);
      slots[at].forEach((slot, i) => {
        const origin = from[at][i];
        expect(origin >= 0 ? slots[at - 1][origin] : first - 1 - origin).toBe(slot);
      });
    });
  });
});
