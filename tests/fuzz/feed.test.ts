import { describeTarget } from './describe-target.js';
import { feed } from './feed.js';

describeTarget(feed);
