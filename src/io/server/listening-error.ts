import { LeewayError } from '../leeway-error.js';

/**
 * The error for people behind a server that can't listen.
 *
 * @param refusal of the system or of the page's files; its code may be the system's
 * @example toListeningError({ code: 'EADDRINUSE', message: '…' }, '127.0.0.1', 8180).code  // 'PAGE_PORT'
 */
export function toListeningError(
  { code, message }: { readonly code: string; readonly message: string },
  address: string,
  port: number,
): LeewayError {
  switch (code) {
    case 'PAGE_MISSING':
      return new LeewayError({ code, message, advice: 'Run npm run build in the folder of Leeway.' });
    case 'EADDRINUSE':
      return new LeewayError({
        code: 'PAGE_PORT',
        message: `Port ${port} for the page is in use.`,
        advice: 'Choose another with --port, or leave it out and the next free one is taken.',
      });
    case 'EACCES':
      return new LeewayError({
        code: 'PAGE_PORT',
        message: `Port ${port} for the page may not be used.`,
        advice: 'Choose one above 1023 with --port.',
      });
    default:
      return new LeewayError({
        code: 'PAGE_ADDRESS',
        message: `The page can't be served at ${address}: ${message}.`,
        advice:
          'Give --listen an address of this computer, such as 0.0.0.0 for all of them, or leave it out.',
      });
  }
}
