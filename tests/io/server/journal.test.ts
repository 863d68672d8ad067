import { describe, expect, test } from 'vitest';
import { Journal } from '../../../src/io/server/journal.js';
import type { ToServer } from '../../../src/io/server/protocol.js';

function open() {
  const posted: ToServer[] = [];
  const journal = new Journal((message) => posted.push(message));
  const rows = () => posted.flatMap((one) => (one.kind === 'rows' ? [[...one.rows]] : []));
  return { posted, journal, rows };
}
const turn = () => new Promise<void>((done) => setImmediate(done));

describe('the journal', () => {
  test('posts nothing while rows are written, and all of them in one array when the notes are out', async () => {
    const { posted, journal, rows } = open();
    journal.write(0, 10, 1, 2);
    journal.write(6, 11, 3, 4);
    expect(posted).toEqual([]);
    await turn();
    expect(rows()).toEqual([[0, 10, 1, 2, 6, 11, 3, 4]]);
    await turn();
    expect(posted).toHaveLength(1);
  });

  test('what is told comes after every row before it', () => {
    const { posted, journal } = open();
    journal.write(0, 10, 1, 2);
    journal.tell({ kind: 'notice', level: 'info', text: 'so' });
    journal.tell({ kind: 'notice', level: 'info', text: 'and so' });
    expect(posted.map(({ kind }) => kind)).toEqual(['rows', 'notice', 'notice']);
  });

  test('what was posted is never written over', async () => {
    const { journal, rows } = open();
    journal.write(0, 1, 1, 1);
    journal.flush();
    journal.write(0, 2, 2, 2);
    await turn();
    expect(rows()).toEqual([
      [0, 1, 1, 1],
      [0, 2, 2, 2],
    ]);
  });

  test('a burst beyond its room goes out early, whole and in order', async () => {
    const { journal, rows } = open();
    for (let i = 0; i < 10_000; i++) journal.write(0, i, 0, 0);
    expect(rows().length).toBeGreaterThanOrEqual(2);
    await turn();
    const times = rows()
      .flat()
      .filter((_, i) => i % 4 === 1);
    expect(times).toEqual(Array.from({ length: 10_000 }, (_, i) => i));
  });
});
