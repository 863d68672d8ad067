import { expect, test } from 'vitest';
import { parseConnections } from '../../../src/io/ports/alsa-connections.js';

/** As a kernel prints it. */
const TEXT = `Client info
  cur  clients : 4
  peak clients : 5
  max  clients : 192

Client   0 : "System" [Kernel Legacy]
  Port   0 : "Timer" (Rwe-)
  Port   1 : "Announce" (R-e-)
    Connecting To: 130:0
Client 128 : "RtMidi Output Client" [User Legacy]
  Port   0 : "Far" (R-e-)
    Connecting To: 129:0, 131:2[r:0]
  Port   1 : "Connecting To: 9:9" (R-e-)
Client 129 : "RtMidi Input Client" [User Legacy]
  Port   0 : "RtMidi Input" (-We-)
    Connected From: 128:0
  Output pool :
    Pool size          : 500
`;

test('the connections of ALSA are read from its list', () => {
  expect([...parseConnections(TEXT)]).toEqual(['0:1>130:0', '128:0>129:0', '128:0>131:2']);
});

test('no connections are known where ALSA lists none', () => expect(parseConnections('').size).toBe(0));
