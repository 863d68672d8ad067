import { execFile } from 'node:child_process';

/**
 * Notifies the service manager that started this process that it is ready, if it waits for that. A Node process can't
 * write to the socket itself, so systemd-notify does; without it, nothing is sent.
 *
 * @param env the process's environment: a manager that waits names its socket in NOTIFY_SOCKET
 * @see sd_notify(3), systemd-notify(1)
 */
export function notifyReady(env: Readonly<Record<string, string | undefined>>): void {
  if (!env.NOTIFY_SOCKET) return;
  execFile('systemd-notify', ['--ready', `--pid=${process.pid}`], () => {});
}
