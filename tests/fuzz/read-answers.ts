import { gunzipSync } from 'node:zlib';

/** An HTTP answer. */
export interface Answer {
  readonly status: number;
  readonly headers: ReadonlyMap<string, string>;
  /** Unpacked; empty after a HEAD. */
  readonly body: Buffer;
}

/**
 * Reads HTTP/1.1 answers that came behind each other; what follows a 101 is no more HTTP. What was cut off is left out.
 *
 * @see RFC 9112, 4 Status Line, 6 Message Body, 7.1 Chunked Transfer Coding
 */
export function readAnswers(bytes: Buffer): { readonly answers: Answer[]; readonly rest: Buffer } {
  const answers: Answer[] = [];
  let at = 0;
  for (;;) {
    const headEnd = bytes.indexOf('\r\n\r\n', at);
    const head = headEnd < 0 ? undefined : readHead(bytes.toString('latin1', at, headEnd));
    if (head === undefined) break;
    at = headEnd + 4;
    const { status, headers } = head;
    if (status === 101) {
      answers.push({ status, headers, body: Buffer.alloc(0) });
      break;
    }
    const length = headers.get('content-length');
    const isHead = bytes.toString('latin1', at, at + 5) === 'HTTP/' || at === bytes.length;
    const chunked = headers.get('transfer-encoding') === 'chunked';
    let body: Buffer = Buffer.alloc(0);
    if (status >= 200 && !isHead) {
      if (chunked) ({ body, at } = readChunks(bytes, at));
      else if (length !== undefined) {
        body = bytes.subarray(at, at + Number(length));
        if (body.length < Number(length)) break;
        at += body.length;
      }
    }
    answers.push({
      status,
      headers,
      body: headers.get('content-encoding') === 'gzip' && body.length > 0 ? gunzipSync(body) : body,
    });
  }
  return { answers, rest: bytes.subarray(at) };
}

function readHead(text: string): { status: number; headers: Map<string, string> } | undefined {
  const [first, ...lines] = text.split('\r\n');
  const status = /^HTTP\/1\.1 (\d{3}) /.exec(first)?.[1];
  if (status === undefined) return undefined;
  const headers = new Map(
    lines.map((line) => [
      line.slice(0, line.indexOf(':')).toLowerCase(),
      line.slice(line.indexOf(':') + 1).trim(),
    ]),
  );
  return { status: Number(status), headers };
}

function readChunks(bytes: Buffer, start: number): { body: Buffer; at: number } {
  const parts: Buffer[] = [];
  let at = start;
  for (;;) {
    const lineEnd = bytes.indexOf('\r\n', at);
    if (lineEnd < 0) return { body: Buffer.concat(parts), at: bytes.length };
    const length = Number.parseInt(bytes.toString('latin1', at, lineEnd), 16);
    at = lineEnd + 2;
    if (!(length > 0)) return { body: Buffer.concat(parts), at: at + 2 };
    parts.push(bytes.subarray(at, at + length));
    at += length + 2;
  }
}

/** A frame of a server. */
export interface ServerFrame {
  readonly first: number;
  readonly second: number;
  readonly data: Buffer;
}

/** Reads WebSocket frames as a server sends them; one that was cut off is left out. @see RFC 6455, 5.2 */
export function readFrames(bytes: Buffer): ServerFrame[] {
  const frames: ServerFrame[] = [];
  for (let at = 0; at + 2 <= bytes.length; ) {
    const [first, second] = bytes.subarray(at, at + 2);
    const form = second & 0x7f;
    const head = form === 126 ? 4 : form === 127 ? 10 : 2;
    if (at + head > bytes.length) break;
    const length =
      form === 126 ? bytes.readUInt16BE(at + 2) : form === 127 ? Number(bytes.readBigUInt64BE(at + 2)) : form;
    const end = at + head + length;
    if (end > bytes.length) break;
    frames.push({ first, second, data: bytes.subarray(at + head, end) });
    at = end;
  }
  return frames;
}
