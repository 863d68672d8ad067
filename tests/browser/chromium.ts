import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';

/** Where the system has its Chromium, or undefined. `LEEWAY_CHROMIUM` names another one. */
export function findChromium(): string | undefined {
  const named = process.env.LEEWAY_CHROMIUM;
  const folders = (process.env.PATH ?? '').split(delimiter);
  const candidates =
    named === undefined
      ? folders.flatMap((folder) =>
          ['chromium', 'chromium-browser', 'google-chrome'].map((name) => join(folder, name)),
        )
      : [named];
  return candidates.find((path) => {
    try {
      accessSync(path, constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
}

/**
 * Starts Chromium without a window. It asks nothing of the network by itself.
 * @param sound whether pages may sound at once, or as in a user's browser only after a click or a key
 */
export function launch(sound: 'at once' | 'after a click' = 'at once'): Promise<Browser> {
  const executablePath = findChromium();
  if (executablePath === undefined) throw new Error(NO_CHROMIUM);
  return chromium.launch({
    executablePath,
    headless: true,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      sound === 'at once'
        ? '--autoplay-policy=no-user-gesture-required'
        : '--autoplay-policy=document-user-activation-required',
    ],
  });
}

/** What is said where there is no Chromium. */
export const NO_CHROMIUM =
  'The browser tests need Chromium and found none. Install it (on Debian: apt-get install chromium) or name it in LEEWAY_CHROMIUM.';

/** Everything a page complained of, and every request it made. */
export interface PageWatch {
  readonly complaints: string[];
  readonly requests: string[];
}

/** Writes down what a page complains of and what it asks for, from now on. */
export function watchPage(page: Page): PageWatch {
  const watch: PageWatch = { complaints: [], requests: [] };
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') watch.complaints.push(message.text());
  });
  page.on('pageerror', (error) => watch.complaints.push(String(error)));
  page.on('request', (request) => watch.requests.push(request.url()));
  page.on('websocket', (socket) => watch.requests.push(socket.url()));
  return watch;
}
