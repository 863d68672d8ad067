import type { ErrorCode } from '../../core/outcome.js';
import type { DoneReport } from '../report.js';
import type { RetuneJob } from '../retune-plan.js';

/** The next file. */
export interface ToThread {
  readonly job: RetuneJob;
}

/** The result: a report, a problem of the file, or a fault of this program. */
export type FromThread =
  | { readonly ok: true; readonly report: DoneReport }
  | {
      readonly ok: false;
      readonly problem: { readonly code: ErrorCode; readonly message: string; readonly advice: string };
    }
  | { readonly ok: false; readonly fault: string };
