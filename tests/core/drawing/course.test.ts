import { expect, test } from 'vitest';
import { COURSE_DASHES, drawCourse, formatShapes } from '../../../src/core/drawing/index.js';

test('a course is one line; the pen is lifted where nothing sounds', () => {
  const points = [[0, 0], [9, 1], null, null, [20, 0], [21, 2], null] as const;
  expect(formatShapes([drawCourse(points, { stroke: '#111', thick: 3, dash: [2, 5] })])).toEqual([
    '<path d="M0 0L9 1M20 0L21 2" fill="none" stroke="#111" stroke-width="3" stroke-dasharray="2 5" stroke-linejoin="round"/>',
  ]);
  expect(drawCourse([], { stroke: '#111', thick: 3, dash: [] }).dash).toBeUndefined();
});

test('no two strategies are dashed alike', () => {
  expect(new Set(Object.values(COURSE_DASHES).map(String)).size).toBe(4);
});
