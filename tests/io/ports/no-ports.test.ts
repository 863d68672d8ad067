import { expect, test } from 'vitest';
import { NO_PORTS } from '../../../src/io/ports/index.js';

const PLACE = { name: 'Synth', occurrence: 1 };

test('a computer without ports lists none, makes none, and reports it', () => {
  expect(NO_PORTS.list()).toEqual({ inputs: [], outputs: [] });
  expect(NO_PORTS.virtualPorts).toBe(false);
  const codeOf = (run: () => unknown) => {
    try {
      run();
    } catch (error) {
      return (error as { code: string }).code;
    }
    return 'none';
  };
  expect(codeOf(() => NO_PORTS.openInput(PLACE, () => {}))).toBe('PORT_MISSING');
  expect(codeOf(() => NO_PORTS.openOutput(PLACE))).toBe('PORT_MISSING');
  expect(codeOf(() => NO_PORTS.createInput('Leeway', () => {}))).toBe('NO_VIRTUAL_PORTS');
  expect(codeOf(() => NO_PORTS.createOutput('Leeway'))).toBe('NO_VIRTUAL_PORTS');
  NO_PORTS.close();
});
