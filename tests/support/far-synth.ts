import { LiveParser } from '../../src/core/midi/index.js';
import { matchPort, type OutputLink, type PortSystem } from '../../src/io/ports/index.js';
import { ListSink } from './midi-bytes.js';
import { SynthModel } from './synth-model.js';

/** A synth at the far end: hears what comes, and is one. */
export class FarSynth extends ListSink {
  readonly model = new SynthModel();
  /** What each note sounded when its key went up, by channel and key, in order. */
  readonly ended: { readonly key: number; readonly cents: number }[] = [];

  override channel(status: number, data1: number, data2: number): void {
    super.channel(status, data1, data2);
    const channel = status & 0x0f;
    if ((status & 0xf0) === 0x80) {
      const voice = this.model.voices.find((v) => v.isDown && v.channel === channel && v.key === data1);
      if (voice !== undefined) this.ended.push({ key: data1, cents: this.model.centsOf(voice) });
    }
    this.model.channel(status, data1, data2);
  }
}

/** A synth with a port of its own, for other programs to play. */
export function makeSynth(far: PortSystem, name: string): FarSynth {
  const synth = new FarSynth();
  const parser = new LiveParser();
  far.createInput(name, (bytes) => parser.feed(bytes, synth));
  return synth;
}

/** A synth that listens to what another program's port plays. @param onBytes called whenever it hears something */
export function listenTo(far: PortSystem, name: string, onBytes: () => void = () => {}): FarSynth {
  const synth = new FarSynth();
  const parser = new LiveParser();
  const place = matchPort(name, far.list().inputs);
  if (!place.ok) throw new Error(place.problem.message);
  far.openInput(place.value, (bytes) => {
    onBytes();
    parser.feed(bytes, synth);
  });
  return synth;
}

/** A hand on another program's port. */
export function openNamed(far: PortSystem, name: string): OutputLink {
  const place = matchPort(name, far.list().outputs);
  if (!place.ok) throw new Error(place.problem.message);
  return far.openOutput(place.value);
}
