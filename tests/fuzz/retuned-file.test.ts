import { describeTarget } from './describe-target.js';
import { retunedFile } from './retuned-file.js';

describeTarget(retunedFile);
