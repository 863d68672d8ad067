// Loaded before a program (`node --import THIS_FILE …`), in its threads too: its disk is slow, and takes what is written in
// pieces, so that a kill falls between them. LEEWAY_SLOW_DISK_MS is the pause after each piece.
import fs from 'node:fs/promises';
import { syncBuiltinESMExports } from 'node:module';
import process from 'node:process';

const PAUSE_MS = Number(process.env.LEEWAY_SLOW_DISK_MS ?? 10);
const PIECES = 4;
/** As much goes to a disk at once: a kill doesn't divide it. */
const SECTOR_BYTES = 16;

const pause = () => new Promise((done) => setTimeout(done, PAUSE_MS));
const probe = await fs.open(process.execPath, 'r');
const handle = Object.getPrototypeOf(probe);
await probe.close();
const { write, sync, chmod } = handle;

/** Writes a part, and says how much; as any disk may. */
handle.write = async function (bytes, offset, length, position) {
  const written = await write.call(
    this,
    bytes,
    offset,
    length > SECTOR_BYTES ? Math.ceil(length / 2) : length,
    position,
  );
  await pause();
  return written;
};
handle.writeFile = async function (data) {
  const bytes = typeof data === 'string' ? Buffer.from(data) : data;
  const size = Math.max(1, Math.ceil(bytes.length / PIECES));
  for (let at = 0; at < bytes.length; at += size) {
    for (let from = at; from < Math.min(at + size, bytes.length); ) {
      const { bytesWritten } = await write.call(
        this,
        bytes,
        from,
        Math.min(at + size, bytes.length) - from,
        null,
      );
      from += bytesWritten;
    }
    await pause();
  }
};
handle.sync = async function () {
  await pause();
  await sync.call(this);
};
handle.chmod = async function (mode) {
  await pause();
  await chmod.call(this, mode);
};
for (const name of ['rename', 'unlink']) {
  const plain = fs[name];
  fs[name] = async (...paths) => {
    await pause();
    await plain(...paths);
    await pause();
  };
}
syncBuiltinESMExports();
