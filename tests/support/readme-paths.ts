import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

const LINK = /\]\(([^)#\s]+)(?:#[^)]*)?\)/g;
const CODE = /`([^`\n]+)`/g;
const BLOCK = /^```[\s\S]*?^```$/gm;
/** A file or folder of ours, as it is written in running text. */
const FILE = /^[\w./-]+\.(?:ts|tsx|mjs|cjs|json|md|css|service|toml)$/;
const FOLDER = /^(?:src|tests|configs|bin|core|io|app|cli|page)(?:\/[\w.-]+)*\/?$/;
/** Names of files that people give their own. */
const EXAMPLES = ['stage.toml', 'sheet.html'];

/** The README, DEVELOPERS and every README beside the code, as paths below the root. */
export function listDocuments(root: string): string[] {
  const beside = ['src', 'tests'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => /(^|[/\\])README\.md$/.test(name))
      .map((name) => join(folder, name)),
  );
  return ['README.md', 'DEVELOPERS.md', ...beside.sort()];
}

/**
 * The paths a document names that lead nowhere. A path counts from the document's folder, from the root or from `src`.
 * @example listLost(root, 'README.md')  // ['src/core/feed'], where that folder was renamed
 */
export function listLost(root: string, document: string): string[] {
  const text = readFileSync(join(root, document), 'utf8').replaceAll(BLOCK, '');
  const folder = join(root, dirname(document));
  const links = [...text.matchAll(LINK)].map(([, path]) => path).filter((path) => !path.includes('://'));
  const named = [...text.matchAll(CODE)]
    .map(([, words]) => words)
    .filter((words) => (FILE.test(words) || FOLDER.test(words)) && !EXAMPLES.includes(words));
  return [
    ...links.filter((path) => !existsSync(join(folder, path))),
    ...named.filter(
      (path) => ![folder, root, join(root, 'src')].some((from) => existsSync(join(from, path))),
    ),
  ];
}
