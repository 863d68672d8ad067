import process from 'node:process';
import { WholeFile } from '../../src/io/files/index.js';

/** Run as a program of its own: is long at writing the file given, and says so; when it is told to, it finishes. */
const file = await WholeFile.open(process.argv[2]);
await file.write(Uint8Array.of(1, 2, 3));
process.stdout.write('writing\n');
process.stdin.once('data', async () => {
  await file.finish();
  process.exit(0);
});
