import { describeTarget } from './describe-target.js';
import { settings } from './settings.js';

describeTarget(settings);
