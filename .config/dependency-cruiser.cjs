/** The arrows between rooms: cli -> app -> io -> core; within core, theory <- tuner, midi <- outlet, and line over both. */
const only = (name, from, allowed) => ({
  name,
  severity: 'error',
  from: { path: from },
  to: { path: '^src/', pathNot: [from, ...allowed] },
});

module.exports = {
  forbidden: [
    { name: 'no-circles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'core-stands-alone',
      comment:
        'core decides: no Node module and, fraction.js apart, no package; the protocol is checked by valibot',
      severity: 'error',
      from: { path: '^src/core/', pathNot: '^src/core/protocol/' },
      to: { dependencyTypesNot: ['local', 'type-only'], pathNot: ['fraction\\.js'] },
    },
    {
      name: 'protocol-stands-on-valibot',
      severity: 'error',
      from: { path: '^src/core/protocol/' },
      to: { dependencyTypesNot: ['local', 'type-only'], pathNot: ['valibot'] },
    },
    only('core-theory', '^src/core/theory/', ['^src/core/outcome\\.ts$']),
    only('core-midi', '^src/core/midi/', ['^src/core/outcome\\.ts$']),
    only('core-tuner', '^src/core/tuner/', [
      '^src/core/theory/index\\.ts$',
      '^src/core/(outcome|strategy)\\.ts$',
    ]),
    only('core-outlet', '^src/core/outlet/', ['^src/core/midi/index\\.ts$', '^src/core/outcome\\.ts$']),
    only('core-line', '^src/core/line/', ['^src/core/(midi|tuner|outlet)/index\\.ts$']),
    only('core-score', '^src/core/score/', [
      '^src/core/(theory|tuner|midi|line)/index\\.ts$',
      '^src/core/outcome\\.ts$',
    ]),
    only('core-sound', '^src/core/sound/', [
      '^src/core/(theory|midi)/index\\.ts$',
      '^src/core/outcome\\.ts$',
    ]),
    only('core-words', '^src/core/words/', ['^src/core/(theory|tuner|score)/index\\.ts$']),
    {
      name: 'core-words-stays-small',
      comment: 'the page has the words too: of the tuner and the score they know only types',
      severity: 'error',
      from: { path: '^src/core/words/' },
      to: { path: '^src/core/(tuner|score)/', dependencyTypesNot: ['type-only'] },
    },
    only('core-drawing', '^src/core/drawing/', ['^src/core/(theory|words)/index\\.ts$']),
    only('core-sheet', '^src/core/sheet/', [
      '^src/core/(theory|tuner|score|drawing|words)/index\\.ts$',
      '^src/core/outcome\\.ts$',
    ]),
    // Of the tuner only its types: the page has the settings too.
    only('core-settings', '^src/core/settings/', ['^src/core/(theory|tuner)/index\\.ts$']),
    only('core-protocol', '^src/core/protocol/', [
      '^src/core/(theory|settings)/index\\.ts$',
      '^src/core/(outcome|strategy)\\.ts$',
    ]),
    only('core-monitor', '^src/core/monitor/', [
      '^src/core/(theory|tuner|line|protocol|settings|words)/index\\.ts$',
    ]),
    {
      name: 'io-rooms-apart',
      severity: 'error',
      from: { path: '^src/io/([^/]+)/' },
      to: {
        path: '^src/',
        pathNot: [
          '^src/io/$1/',
          '^src/io/leeway-error\\.ts$',
          '^src/core/[^/]+/index\\.ts$',
          '^src/core/outcome\\.ts$',
        ],
      },
    },
    only('page', '^src/page/', [
      '^src/core/(protocol|theory|drawing|settings|words)/index\\.ts$',
      '^src/core/outcome\\.ts$',
    ]),
    only('app', '^src/app/', [
      '^src/core/[^/]+/index\\.ts$',
      '^src/io/([^/]+/index|leeway-error)\\.ts$',
      '^src/core/outcome\\.ts$',
    ]),
    only('cli', '^src/cli/', [
      '^src/app/',
      '^src/core/[^/]+/index\\.ts$',
      '^src/core/(outcome|error-codes)\\.ts$',
      '^src/io/([^/]+/index|leeway-error)\\.ts$',
    ]),
  ],
  options: {
    tsConfig: { fileName: require('node:path').resolve(__dirname, 'tsconfig.node.json') },
    tsPreCompilationDeps: true,
    doNotFollow: { path: 'node_modules' },
  },
};
