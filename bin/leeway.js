#!/usr/bin/env node
import { existsSync } from 'node:fs';

const built = new URL('../dist/program/leeway.js', import.meta.url);
if (existsSync(built)) {
  const { main } = await import(built.href);
  process.exitCode = await main();
} else {
  process.stderr.write("leeway: The program isn't built yet. Run npm ci in its folder. [NOT_BUILT]\n");
  process.exitCode = 2;
}
