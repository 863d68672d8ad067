import { describeTarget } from './describe-target.js';
import { midiFile } from './midi-file.js';

describeTarget(midiFile);
