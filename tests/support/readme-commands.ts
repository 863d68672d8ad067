import { readFileSync } from 'node:fs';

/** Commands of the README that stand together, and what it says they print. */
export interface CommandBlock {
  /** Each as printed, its remark at the end of the line too. */
  readonly commands: readonly string[];
  /** The lines shown below them; empty if none are. */
  readonly shown: readonly string[];
}

const BLOCK = /^```(\w*)\n([\s\S]*?)^```$/gm;

/** Every block of commands in a README, in its order. */
export function readCommandBlocks(path: URL): CommandBlock[] {
  const blocks: { commands: string[]; shown: string[] }[] = [];
  for (const [, language, text] of readFileSync(path, 'utf8').matchAll(BLOCK)) {
    const lines = text.split('\n').filter((line) => line.trim() !== '');
    if (language === 'sh')
      blocks.push({ commands: lines.filter((line) => !line.startsWith('#')), shown: [] });
    else if (language === '') blocks.at(-1)?.shown.push(...lines);
  }
  return blocks;
}
