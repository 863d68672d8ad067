import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { inspect } from 'node:util';
import ts from 'typescript';
import { type Expected, matches, readExpected } from './example-values.js';

/** The folder of the source, absolute. */
export const SOURCE = fileURLToPath(new URL('../../src', import.meta.url));

/** One `@example`: where it is, and what it says. */
export interface Example {
  /** Below src. */
  readonly file: string;
  readonly line: number;
  readonly text: string;
}

/** All examples of the files below a folder of src, in the order of their files. */
export function findExamples(folder: string): Example[] {
  return readdirSync(join(SOURCE, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.tsx?$/.test(name))
    .sort()
    .flatMap((name) => {
      const path = join(SOURCE, folder, name);
      return readExamples(readFileSync(path, 'utf8'), relative(SOURCE, path));
    });
}

/** The examples of one file's text: from the tag to the next tag or the end of the comment. */
export function readExamples(source: string, file: string): Example[] {
  return [...source.matchAll(/\/\*\*[\s\S]*?\*\//g)].flatMap((comment) => {
    const starts = [...comment[0].matchAll(/@example\b/g)];
    return starts.map(({ index }) => {
      const rest = comment[0].slice(index + '@example'.length, -2);
      const bare = rest.replace(/\n[ \t]*\*[ \t]?/g, '\n');
      const text = bare.split(/\n\s*@[a-z]|@example\b/)[0].trim();
      const line = source.slice(0, comment.index + index).split('\n').length;
      return { file, line, text };
    });
  });
}

/** One statement of an example: its code, the comment after it, and whether it is an expression. */
interface Step {
  readonly code: string;
  readonly comment: string;
  readonly isExpression: boolean;
}

/** Whether an example is code. One that isn't must not look like it: no call, no comment, no semicolon. */
export function isCode({ text }: Example): boolean {
  return toSteps(text) !== undefined;
}

/** Whether prose holds a piece of code. */
export function looksLikeCode({ text }: Example): boolean {
  return /\w\(|=>|\/\/|;\s*$|===/.test(text);
}

/** What was read of an example already: parsing takes most of the time. */
const known = new Map<string, Step[] | undefined>();

function toSteps(text: string): Step[] | undefined {
  if (!known.has(text)) known.set(text, readSteps(text));
  return known.get(text);
}

function readSteps(text: string): Step[] | undefined {
  const file = ts.createSourceFile('example.ts', text, ts.ScriptTarget.ES2022, true);
  const { parseDiagnostics } = file as unknown as { parseDiagnostics: readonly unknown[] };
  const { statements } = file;
  if (parseDiagnostics.length > 0 || statements.length === 0) return undefined;
  return statements.map((statement, i) => {
    const after = text.slice(statement.end, statements[i + 1]?.getStart() ?? text.length);
    const comment = [...after.matchAll(/\/\/(.*)/g)].map((line) => line[1].trim()).join(' ');
    return { code: statement.getText(), comment, isExpression: ts.isExpressionStatement(statement) };
  });
}

/** What a run found: how many values it compared, and what was wrong. */
export interface Ran {
  readonly compared: number;
  readonly problems: readonly string[];
}

/**
 * Runs an example in one scope: the exports of its file, then what the file imports, then the doors above it, then the
 * fixtures.
 *
 * An expression's comment is its value; without one, and not ended by a semicolon, that is a problem. `name.x === 5` in
 * a comment is compared after the statement.
 */
export async function runExample(example: Example, fixtures: object): Promise<Ran> {
  const steps = toSteps(example.text) ?? [];
  const checks: { wanted: Expected; what: string; words: string }[] = [];
  const problems: string[] = [];
  const body = steps.map((step) => {
    const { code, comment, isExpression } = step;
    const said = /^([\w.[\]()]+) === (.*)$/.exec(comment);
    const value = readExpected(said ? said[2] : comment);
    const bare = code.replace(/;$/, '');
    if (value === undefined) {
      if (isExpression && !code.endsWith(';'))
        problems.push(`no value after ${bare}: ${comment || 'no comment'}`);
      return code;
    }
    if (!isExpression && !said) {
      problems.push(`a value after a statement that has none: ${code}`);
      return code;
    }
    const what = said ? said[1] : bare;
    const number = checks.push({ wanted: value, what, words: said ? said[2] : comment }) - 1;
    if (value.kind === 'throws') return `await $thrown(${number}, async () => (${bare}));`;
    return `${said ? `${bare};` : ''} $got(${number}, (${what}));`;
  });
  const code = toScript(`async function $example() {\n${body.join('\n')}\n}`);
  const seen = new Set<number>();
  const compare = (number: number, isRight: boolean, shown: unknown) => {
    seen.add(number);
    const { what, words } = checks[number];
    if (!isRight) problems.push(`${what} is ${inspect(shown, { depth: 4 })}, not ${words}`);
  };
  const tools = {
    $got: (number: number, value: unknown) => compare(number, matches(value, checks[number].wanted), value),
    $thrown: async (number: number, run: () => Promise<unknown>) => {
      const { wanted } = checks[number];
      const outcome = await run().then(
        (value) => ({ name: 'no error', value }),
        (error: unknown) => ({ name: (error as Error).name, value: error }),
      );
      compare(number, wanted.kind === 'throws' && outcome.name === wanted.name, outcome.value);
    },
  };
  try {
    const names = { ...(await toScope(example, code, fixtures)), ...tools };
    const make = new Function(...Object.keys(names), `'use strict'; ${code}; return $example;`);
    await make(...Object.values(names))();
  } catch (error) {
    problems.push(String(error));
  }
  return { compared: seen.size, problems };
}

/** Without types. Most examples have none, and needn't wait for the compiler. */
function toScript(code: string): string {
  try {
    new Function(code);
    return code;
  } catch {
    return ts.transpile(code, { target: ts.ScriptTarget.ES2022 });
  }
}

/** The names an example uses, from where they are found first. */
async function toScope({ file }: Example, code: string, fixtures: object): Promise<Record<string, unknown>> {
  const sources = [...(await toSources(file)), fixtures];
  const used = new Set(code.match(/[A-Za-z_]\w*/g));
  const scope: Record<string, unknown> = {};
  for (const name of used) {
    const source = sources.find((one) => name in one);
    if (source && name !== 'default') scope[name] = source[name as keyof typeof source];
  }
  return scope;
}

const sourcesOf = new Map<string, Promise<object[]>>();

/** Where the names of a file's examples are looked up. */
function toSources(file: string): Promise<object[]> {
  let sources = sourcesOf.get(file);
  if (sources === undefined) {
    const doors = toDoors(file).map((door) => load(join(SOURCE, door)));
    sources = Promise.all([load(join(SOURCE, file)), importsOf(file), ...doors]);
    sourcesOf.set(file, sources);
  }
  return sources;
}

const load = (path: string): Promise<object> => import(/* @vite-ignore */ path);

/** What a file imports from other files of ours, by its name. Types have none. */
async function importsOf(file: string): Promise<object> {
  const names: Record<string, unknown> = {};
  const text = readFileSync(join(SOURCE, file), 'utf8');
  for (const [, list, from] of text.matchAll(/^import \{([^}]*)\} from '(\.[^']*)\.js';$/gm)) {
    const path = join(SOURCE, dirname(file), from);
    const module = await load(existsSync(`${path}.ts`) ? `${path}.ts` : `${path}.tsx`);
    for (const name of list.split(',').map((one) => one.trim())) {
      if (name in module) names[name] = module[name as keyof typeof module];
    }
  }
  return names;
}

/** The index files above a file, from the nearest on, below src/core, src/app and their like. */
function toDoors(file: string): string[] {
  const doors: string[] = [];
  for (let folder = dirname(file); folder.includes('/'); folder = dirname(folder)) {
    const door = join(folder, 'index.ts');
    if (door !== file && existsSync(join(SOURCE, door))) doors.push(door);
  }
  return doors;
}
