import { describe, expect, test } from 'vitest';
import type { SessionMessage } from '../../../src/core/monitor/index.js';
import { readRows } from '../../../src/core/monitor/session-rows.js';
import { EventQueue } from '../../../src/io/server/event-queue.js';

function open() {
  const posted: SessionMessage[] = [];
  const queue = new EventQueue((message) => posted.push(message));
  /** The times of what was posted, array by array; of how a note was sent, its channel. */
  const rows = () => posted.flatMap((one) => (one.kind === 'rows' ? [read(one.rows)] : []));
  const time = (atMs: number) => queue.event({ kind: 'time', atMs });
  return { posted, queue, rows, time };
}
function read(rows: Float64Array): (number | string)[] {
  const found: (number | string)[] = [];
  const routing = {
    begin: (id: number) => void found.push(`note ${id} again`),
    noteSent: (channel: number) => void found.push(`note on ${channel}`),
    bendSent: (channel: number, bend: number) => void found.push(`bend on ${channel}: ${bend}`),
  };
  readRows(rows, ({ atMs }) => void found.push(atMs), routing);
  return found;
}
const turn = () => new Promise<void>((done) => setImmediate(done));

describe('an event queue', () => {
  test('posts rows in one array when the notes were sent, and nothing before', async () => {
    const { posted, queue, rows, time } = open();
    time(10);
    queue.noteSent(3);
    queue.bendSent(3, 7631);
    queue.resumed(40);
    expect(posted).toEqual([]);
    await turn();
    expect(rows()).toEqual([[10, 'note on 3', 'bend on 3: 7631', 'note 40 again']]);
    await turn();
    expect(posted).toHaveLength(1);
  });

  test('posts an event after every row before it', () => {
    const { posted, queue, time } = open();
    time(10);
    queue.tell({ kind: 'notice', level: 'info', text: 'so' });
    queue.tell({ kind: 'notice', level: 'info', text: 'and so' });
    expect(posted.map(({ kind }) => kind)).toEqual(['rows', 'notice', 'notice']);
  });

  test('never overwrites what was posted', async () => {
    const { queue, rows, time } = open();
    time(1);
    queue.flush();
    time(2);
    await turn();
    expect(rows()).toEqual([[1], [2]]);
  });

  test('posts a burst beyond its room early, whole and in order', async () => {
    const { rows, time } = open();
    for (let i = 0; i < 10_000; i++) time(i);
    expect(rows().length).toBeGreaterThanOrEqual(2);
    await turn();
    expect(rows().flat()).toEqual(Array.from({ length: 10_000 }, (_, i) => i));
  });
});
