import { expect, test } from 'vitest';
import { toListeningError } from '../../../src/io/server/server-supervisor.js';

test.each([
  ['EADDRINUSE', 'PAGE_PORT', /^Port 8180 .* in use/],
  ['EACCES', 'PAGE_PORT', /^Port 8180 .* may not be used/],
  ['EADDRNOTAVAIL', 'PAGE_ADDRESS', /at 192\.0\.2\.1: bind it can't/],
  ['', 'PAGE_ADDRESS', /at 192\.0\.2\.1: bind it can't/],
  ['PAGE_MISSING', 'PAGE_MISSING', /^bind it can't$/],
])('%j is %s, with advice', (code, ours, message) => {
  const error = toListeningError({ code, message: "bind it can't" }, '192.0.2.1', 8180);
  expect(error).toMatchObject({ code: ours, message: expect.stringMatching(message) });
  expect(error.advice).toMatch(/\w/);
});
