/** Terms of the trade, each explained in a sentence or two where it appears. */
export const TERMS = {
  cent: 'A hundredth of a semitone.',
  drift:
    'How far pure chords have moved the pitch of the music since it began: whole commas, less what was given back.',
  comma:
    'The small gap between two pitches of one key that pure intervals lead to. The usual one, the syntonic comma, is 81/80 or 21.5 cents.',
  home: 'Where the first chord was. The level line of the chart.',
  leeway: 'The pale band: how far from home the average of a chord may be before it is moved back.',
  strategy: 'What becomes of the drift: free, pull, anchored or temper.',
  ratio:
    'Two frequencies as whole numbers. In 3/2 the upper note swings three times while the lower swings twice.',
  proportion:
    'The frequencies of a chord as whole numbers, the lowest note first. 4:5:6 is a pure major chord.',
  'raised figure':
    'The raised figure counts commas away from a chain of pure fifths. E⁻¹ is one comma lower than the E four fifths above C.',
  lattice: 'A map of pitches. A step to the right is a pure fifth up, a step upwards a pure major third up.',
  ledger: 'What each comma cost, as sentences, newest first.',
  'tied note': 'A note that sounds on from one chord into the next.',
  pass: 'Once through the piece.',
  'tied notes moved': 'How far notes moved while they sounded, all added up.',
  'came back off': 'How far notes were from their earlier pitch when they came back, all added up.',
  'out of tune': 'How far chords were from pure, in cents, times how long, in seconds.',
  average:
    'How far the average of the sounding notes is from 12 equal. It depends on the chord: it is not the drift.',
} as const;

export type TermName = keyof typeof TERMS;
