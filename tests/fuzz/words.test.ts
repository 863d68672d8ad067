import { describeTarget } from './describe-target.js';
import { words } from './words.js';

describeTarget(words);
