export { openSoundFont, type SoundFont } from './soundfont.js';
