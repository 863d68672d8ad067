import type { LiveFigures, OutletFigures } from '../../app/live/live-figures.js';
import { count } from '../../core/words/index.js';

/**
 * A session's figures, a line each. Zero counts are left out.
 * @example From key to synth: half of 1204 messages within 0.02 ms, 99 % within 0.06 ms, the slowest 0.31 ms.
 */
export function formatFigures({ latency, vitals, session, inputs, outlets }: LiveFigures): string[] {
  const lines: string[] = [];
  if (latency.count > 0) {
    const [p50, p99, worst] = [latency.p50, latency.p99, latency.worst].map(toMs);
    const messages = count(latency.count, 'message');
    lines.push(
      `From key to synth: half of ${messages} within ${p50}, 99 % within ${p99}, the slowest ${worst}.`,
    );
  }
  lines.push(
    `Time: timers late by ${ms(vitals.lateP99Ms)} at most in 99 of 100 calls, ${ms(vitals.lateWorstMs)} at worst; ${count(vitals.collections, 'memory collection')}, the longest ${ms(vitals.longestCollectionMs)}.`,
  );
  for (const { port, isOpen, messages, strange, isClosed } of inputs) {
    const facts = [`${count(messages, 'message')}`];
    if (!isOpen) facts.unshift('not open');
    if (strange > 0)
      facts.push(`${count(strange, 'byte or message', 'bytes or messages')} that made no sense`);
    if (isClosed) facts.push('not listened to until a panic');
    lines.push(`Input "${port}": ${facts.join('; ')}.`);
  }
  for (const outlet of outlets) lines.push(formatOutlet(outlet));
  if (session.mends > 0) lines.push(`Outputs set up again after a refusal: ${session.mends}.`);
  if (session.faults > 0) lines.push(`Faults of our own: ${session.faults}. Please report them.`);
  return lines;
}

function formatOutlet(outlet: OutletFigures): string {
  const { port, isOpen, sentMessages, sentBytes, notes } = outlet;
  const facts = [`${count(sentMessages, 'message')} (${count(sentBytes, 'byte')})`];
  if (!isOpen) facts.unshift('not open');
  const add = (number: number, words: string) => {
    if (number > 0) facts.push(`${number} ${words}`);
  };
  add(outlet.unheardMessages, 'while it was away');
  add(outlet.refusedMessages, 'refused');
  add(outlet.supersededMessages, 'messages left out for a slow cable');
  add(notes.sharedNotes, 'notes had to share a channel');
  add(notes.hurriedNotes, 'notes bent a release that still sounded');
  add(notes.clampedBends, 'bends reached the end of their range');
  add(notes.foldedNotes, 'notes on another key, at the same pitch');
  if (notes.peakChannels > 0) facts.push(`at most ${count(notes.peakChannels, 'channel')} at a time`);
  return `Output "${port}": ${facts.join('; ')}.`;
}

function toMs(micros: number): string {
  return ms(micros / 1000);
}

function ms(value: number): string {
  return `${value < 0.1 ? value.toFixed(3) : value.toFixed(2)} ms`;
}
