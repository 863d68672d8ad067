import { WholeFile } from './whole-file.js';

/**
 * Writes a file whole or not at all, as {@link WholeFile} does.
 *
 * Throws a LeewayError: FILE_NO_FOLDER, FILE_IS_FOLDER, FILE_FORBIDDEN, FILE_NO_SPACE, FILE_FAILED.
 *
 * @example await writeWhole('out.mid', formatMidiFile(file))
 */
export async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  const file = await WholeFile.open(path);
  try {
    await file.write(bytes);
  } catch (error) {
    await file.abandon(); // the first failure is the one to report
    throw error;
  }
  await file.finish();
}
