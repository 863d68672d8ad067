import type { ComparisonSheet } from '../../core/protocol/index.js';
import { formatClock } from '../../core/words/index.js';
import { StepPlayer } from './player.js';
import './report.css';

const find = <T extends Element>(selector: string): T => {
  const element = document.querySelector<T>(selector);
  if (element === null) throw new Error(`${selector} is missing`);
  return element;
};

const sheet = JSON.parse(find('#sheet').textContent ?? '') as ComparisonSheet;
const play = find<HTMLButtonElement>('#play');
const place = find<HTMLInputElement>('#place');
const time = find('#time');
const picture = find<SVGSVGElement>('#picture svg');
const pointer = find<SVGLineElement>('#pointer line');
const chords = [...document.querySelectorAll<HTMLTableRowElement>('#chords tbody tr')];
const chordTimes = chords.map((row) => Number(row.dataset.ms));
const { left, right } = find<HTMLElement>('#picture').dataset as { left: string; right: string };

const player = new StepPlayer(sheet, () => draw());

play.addEventListener('click', () => {
  if (player.isPlaying) player.pause();
  else void player.play().then(follow);
  draw();
});
place.addEventListener('input', () => void player.seek(Number(place.value)).then(draw));
find<HTMLInputElement>('#volume').addEventListener('input', (event) =>
  player.setVolume(Number((event.currentTarget as HTMLInputElement).value)),
);
document.querySelectorAll<HTMLInputElement>('input[name=version]').forEach((input, i) => {
  input.addEventListener('change', () => player.hear(i));
  if (input.checked) player.hear(i);
});
for (const row of chords) {
  row.addEventListener('click', () => void player.seek(Number(row.dataset.ms)).then(draw));
}
picture.addEventListener('click', (event) => {
  const box = picture.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * picture.viewBox.baseVal.width;
  const share = (x - Number(left)) / (Number(right) - Number(left));
  void player.seek(share * sheet.lengthMs).then(draw);
});

function follow(): void {
  draw();
  if (player.isPlaying) requestAnimationFrame(follow);
}

let shown = -1;
function draw(): void {
  const { atMs } = player;
  play.textContent = player.isPlaying ? 'Pause' : 'Play';
  place.value = String(atMs);
  time.textContent = `${formatClock(atMs, 0)} of ${formatClock(sheet.lengthMs, 0)}`;
  const x = Number(left) + (atMs / Math.max(1, sheet.lengthMs)) * (Number(right) - Number(left));
  pointer.setAttribute('x1', String(x));
  pointer.setAttribute('x2', String(x));
  const now = chordTimes.findLastIndex((ms) => ms <= atMs + 1);
  if (now === shown) return;
  chords[shown]?.removeAttribute('aria-current');
  chords[now]?.setAttribute('aria-current', 'true');
  shown = now;
}

draw();
