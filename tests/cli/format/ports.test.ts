import { expect, test } from 'vitest';
import { formatPorts, type PortLookup } from '../../../src/cli/format/ports.js';
import { LINE_WIDTH } from '../../../src/cli/format/wrap.js';
import { matchPort } from '../../../src/io/ports/index.js';

const KEYS = { name: 'Keys', occurrence: 1 };
const want = (name: string, places = [KEYS]): PortLookup => ({
  direction: 'input',
  name,
  own: false,
  found: matchPort(name, places),
});

test('the list of ports says where no port exists and none is wanted', () => {
  expect(formatPorts({ inputs: [], outputs: [] }, [])).toEqual([
    'in      nothing plays',
    'out     nothing can be played',
  ]);
});

test('the list of ports says what each wanted name means', () => {
  expect(formatPorts({ inputs: [KEYS], outputs: [] }, [want('key'), want('Organ')])).toEqual([
    'in      Keys',
    'out     nothing can be played',
    'wanted  in "key": opens Keys',
    `        in "Organ": isn't there; opened when it comes`,
  ]);
});

test('the list of ports breaks many choices into several lines', () => {
  const places = Array.from({ length: 9 }, (_, i) => ({ name: `A rather long name ${i}`, occurrence: 1 }));
  const lines = formatPorts({ inputs: [], outputs: [] }, [want('long', places)]);
  expect(lines.length).toBeGreaterThan(4);
  expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(LINE_WIDTH);
  for (const { name } of places) expect(lines.join(' ').replace(/ +/g, ' ')).toContain(`"${name}"`);
});
