import { describe, expect, test } from 'vitest';
import { listStoryPieces, parseStory } from '../../../src/app/story/parse-story.js';
import { findBuiltIn } from '../../../src/app/story/read-story.js';
import { pieceOf } from '../../support/pieces.js';

const CHOIR = pieceOf('0 0x90 60 80, 8000 0x80 60 0', { name: 'choir', barsMs: [0, 2000, 4000, 6000] });
const parse = (text: string) => parseStory(text, 's.toml', (name) => findBuiltIn(name, [CHOIR]));
const mistakesOf = (text: string) => {
  const parsed = parse(text);
  return parsed.ok ? [] : parsed.mistakes.map(({ message, code }) => `${message} [${code}]`);
};

describe('a story', () => {
  test('has a title and steps, and what a step leaves out of what is heard and shown is as before', () => {
    const parsed = parse(`
title = "Commas"
[[step]]
sentence = " One chord. "
piece = "choir"
bars = "2-3"
tempo = 0.5
passes = 2
play = "chord"
hear = ["equal", "free"]
show = "chord"
only = ["free"]
[[step]]
sentence = "It goes on."
[[step]]
sentence = "A pump."
formula = "I vi ii V"
bars = 1
hear = "pull"
show = "curve"
only = "pull"
`);
    if (!parsed.ok) throw new Error(parsed.mistakes[0].message);
    expect(parsed.story).toEqual({
      title: 'Commas',
      steps: [
        {
          sentence: 'One chord.',
          music: { piece: CHOIR, bars: [2, 3], tempo: 0.5, passes: 2 },
          play: 'chord',
          hear: ['equal', 'free'],
          show: 'chord',
          only: ['free'],
        },
        {
          sentence: 'It goes on.',
          music: undefined,
          play: undefined,
          hear: ['equal', 'free'],
          show: 'chord',
          only: ['free'],
        },
        {
          sentence: 'A pump.',
          music: { piece: { formula: 'I vi ii V' }, bars: [1, 1], tempo: 1, passes: undefined },
          play: undefined,
          hear: ['pull'],
          show: 'curve',
          only: ['pull'],
        },
      ],
    });
  });

  const head = 'title = "T"\n[[step]]\nsentence = "S"\n';
  test.each<[string, RegExp[]]>([
    ['title = = 1', [/^s\.toml:1:9: This is not TOML: .* \[STORY_TOML\]$/]],
    ['', [/^s\.toml:1:1: The story has no title|the story has no title/, /a story of 0 steps/]],
    [`${head}sentense = "x"`, [/^s\.toml:4:1: a story has no key "sentense" here\. \[STORY_KEY\]$/]],
    ['title = "T"\nsteps = 1\n[[step]]\nsentence = "S"', [/^s\.toml:2:1: .*"steps"/]],
    ['title = "T"\n[[step]]\nshow = "all"', [/^s\.toml:2:3: the step has no sentence/]],
    [`${head}show = "curves"`, [/^s\.toml:4:8: show: "curves" is none of all, figure/]],
    [`${head}hear = ["free", "loud"]`, [/^s\.toml:4:8: hear: "loud" is none of equal/]],
    [`${head}hear = []`, [/hear: this is a list of 0/]],
    [`${head}play = true`, [/play: true is none of on, chord, no/]],
    [`${head}piece = "quire"`, [/^s\.toml:4:9: there is no piece called quire\. \[PIECE_MISSING\]$/]],
    [`${head}piece = "choir"\nbars = "3-9"`, [/^s\.toml:5:8: the piece has 4 bars/]],
    [`${head}piece = "choir"\nbars = "4-3"`, [/bars: "4-3" names no bars/]],
    [`${head}piece = "choir"\ntempo = 9`, [/tempo: 9 is not a number from 0\.25 to 4/]],
    [`${head}piece = "choir"\npasses = 1.5`, [/passes: 1\.5 is not a whole number/]],
    [`${head}piece = "choir"\npasses = 0`, [/passes: 0 is not a number from 1 to 100/]],
    [
      `${head}bars = "1"\npasses = 2`,
      [/^s\.toml:4:1: bars is for a piece/, /^s\.toml:5:1: passes is for a piece/],
    ],
    [`${head}piece = "choir"\nformula = "I V"`, [/^s\.toml:5:1: the step has a piece and a formula/]],
    [`${head}formula = "I what"`, [/^s\.toml:4:11: .* \[PUMP_TEXT\]$/]],
    [
      `title = 7\n[[step]]\nsentence = "${'x'.repeat(301)}"`,
      [/^s\.toml:1:9: title: this is not a text/, /sentence: this has 301 characters/],
    ],
    [`title = "T"\n${'[[step]]\nsentence = "S"\n'.repeat(65)}`, [/a story of 65 steps/]],
  ])('says with line and column what is wrong in %j', (text, expected) => {
    const mistakes = mistakesOf(text);
    expect(mistakes).toHaveLength(expected.length);
    mistakes.forEach((mistake, i) => {
      expect(mistake).toMatch(expected[i]);
    });
  });

  test('names its pieces before it is read whole; text that is no TOML has none', () => {
    expect(listStoryPieces('[[step]]\npiece = "a.mid"\n[[step]]\nformula = "I V"')).toEqual(['a.mid']);
    expect(listStoryPieces('= =')).toEqual([]);
  });
});
