/** The names of a system's ports in one direction, by index. */
interface Names {
  getPortCount(): number;
  getPortName(index: number): string;
}

/**
 * All full names. A port that goes while names are read leaves an empty one; its index must stay taken.
 * @example readNames({ getPortCount: () => 1, getPortName: () => 'Keys 24:0' })  // ['Keys 24:0']
 */
export function readNames(lister: Names): string[] {
  return Array.from({ length: lister.getPortCount() }, (_, index) => lister.getPortName(index));
}

/** Names listed more often than before. @example findNew(['Keys'], ['Keys', 'Synth', 'Keys'])  // ['Synth', 'Keys'] */
export function findNew(before: readonly string[], now: readonly string[]): string[] {
  const left = [...before];
  return now.filter((name) => {
    const at = left.indexOf(name);
    if (at >= 0) left.splice(at, 1);
    return at < 0;
  });
}
