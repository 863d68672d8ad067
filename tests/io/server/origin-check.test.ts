import { describe, expect, test } from 'vitest';
import { isSameToken, OriginCheck } from '../../../src/io/server/origin-check.js';

const check = (origins: OriginCheck, host?: string, origin?: string) =>
  origins.check({ headers: { host, origin } })?.status ?? 'in';

describe('requests', () => {
  const own = new OriginCheck('127.0.0.1', 8180);

  test.each([
    ['127.0.0.1:8180', undefined, 'in'],
    ['127.0.0.1:8180', 'http://127.0.0.1:8180', 'in'],
    ['localhost:8180', 'http://localhost:8180', 'in'],
    ['LOCALHOST:8180', 'http://localhost:8180', 'in'],
    ['[::1]:8180', 'http://[::1]:8180', 'in'],
    // A name that was made to point here.
    ['evil.example:8180', 'http://evil.example:8180', 403],
    ['127.0.0.1.evil.example:8180', undefined, 403],
    ['localhost.:8180', undefined, 403],
    // Another port, or none.
    ['127.0.0.1:80', undefined, 403],
    ['127.0.0.1', undefined, 403],
    [undefined, undefined, 403],
    ['', undefined, 403],
    ['127.0.0.1:8180:8180', undefined, 403],
    ['user@127.0.0.1:8180', undefined, 403],
    // A page of somebody else's.
    ['127.0.0.1:8180', 'http://evil.example', 403],
    ['127.0.0.1:8180', 'https://127.0.0.1:8180', 403],
    ['127.0.0.1:8180', 'http://127.0.0.1:3000', 403],
    ['127.0.0.1:8180', 'http://localhost:8180', 403],
    ['127.0.0.1:8180', 'null', 403],
    ['127.0.0.1:8180', '', 403],
    // An address of this computer it doesn't listen on.
    ['192.168.1.20:8180', 'http://192.168.1.20:8180', 403],
  ])('are decided at 127.0.0.1 for host %s and origin %s: %s', (host, origin, answer) => {
    expect(check(own, host, origin)).toBe(answer);
  });

  test('are accepted in the local network at any address, but at no name', () => {
    const room = new OriginCheck('0.0.0.0', 8180);
    expect(check(room, '192.168.1.20:8180', 'http://192.168.1.20:8180')).toBe('in');
    expect(check(room, 'localhost:8180')).toBe('in');
    expect(check(room, 'evil.example:8180', 'http://evil.example:8180')).toBe(403);
    const one = new OriginCheck('192.168.1.20', 8180);
    expect(check(one, '192.168.1.20:8180')).toBe('in');
    expect(check(one, '192.168.1.21:8180')).toBe(403);
  });
});

test.each([
  ['abc', 'abc', true],
  ['abc', 'abd', false],
  ['abc', 'abcd', false],
  ['', 'abc', false],
  ['é', 'e', false],
])('tokens are compared: %s and %s', (given, token, same) => expect(isSameToken(given, token)).toBe(same));
