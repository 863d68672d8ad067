import { describeTarget } from './describe-target.js';
import { liveBytes } from './live-bytes.js';

describeTarget(liveBytes);
