/**
 * `npm run bench`: what the solver costs on this machine. Prints times and ratios; asserts nothing.
 *
 * Run it on an idle machine: other work on the cores doubles the times. Ratios hold better.
 */
import { availableParallelism } from 'node:os';
import type { CompiledKart, CompiledTrack, Request } from '../../sim/index.ts';
import {
  compileKart,
  compileTrack,
  DEFAULT_SPACING,
  lapProblem,
  perform,
  planTeeth,
  readProjectValue,
  solveLap,
  studyUnknowns,
} from '../../sim/index.ts';
import { demoInput, readDemo } from '../../ui/demo/demo-project.ts';
import { createPool } from '../../workers/pool.ts';
import { spawnInNode } from '../../workers/spawn-node.ts';
import { tablePass } from './table-pass.ts';

const project = readDemo().project!;
const KARTS = ['clodlet-four-asphalt', 'clodlet-single-knobbly'] as const;

function timed(
  runs: number,
  warm: number,
  work: () => unknown,
): { median: number; p95: number; least: number } {
  for (let i = 0; i < warm; i++) work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  return { median: times[runs >> 1]!, p95: times[Math.floor(runs * 0.95)]!, least: times[0]! };
}

const ms = (x: number) => `${x.toFixed(3)} ms`;
const line = (name: string, text: string) => process.stdout.write(`  ${name.padEnd(46)} ${text}\n`);
const head = (text: string) => process.stdout.write(`\n${text}\n`);

function lapOf(kart: string, trackId: string, stations: number) {
  const spec = project.tracks[trackId]!;
  const compiled = compileKart(project, { kart, day: 'mild' }).kart!;
  const length = compileTrack(spec, trackId, 1).track!.length;
  const track = compileTrack(spec, trackId, length / stations).track!;
  return { problem: problemOf(compiled, track), track, compiled };
}

const problemOf = (kart: CompiledKart, track: CompiledTrack) =>
  lapProblem(
    kart,
    track,
    track.surfaces.map((id) => kart.surfaces.find((s) => s.id === id)!),
  );

const conditions = (track: CompiledTrack) => ({
  start: track.closed ? ('flying' as const) : ('standing' as const),
  engineBraking: 'as it pays' as const,
});

// A compiled lap holds the speeds that grip allows at every station: they depend on kart, track and day only.
head('Compiled lap, warm (goal: 2,000 stations under 1 ms)');
for (const [kart, trackId] of [
  [KARTS[0], 'brindlequag-works'],
  [KARTS[1], 'tansy-hollow'],
  [KARTS[0], 'fettlebrow'],
] as const) {
  const { problem, track, compiled } = lapOf(kart, trackId, 2000);
  const lap = timed(300, 300, () => solveLap(problem, conditions(track)));
  const y = new Float64Array(track.count);
  const plain = {
    mass: compiled.mass,
    friction: 0.9,
    gravity: 9.80665,
    drag: compiled.envelope.drag,
    thrust: Float64Array.from({ length: 1024 }, (_, i) => 3000 - 2 * i),
    fastest: 60,
  };
  const pass = timed(300, 300, () => tablePass(plain, track, y));
  line(
    `${kart}, ${trackId}, ${track.count} stations`,
    `median ${ms(lap.median)}, p95 ${ms(lap.p95)}, least ${ms(lap.least)}`,
  );
  const cold = timed(300, 300, () => solveLap(problemOf(compiled, track), conditions(track)));
  line('  with compiling the lap', `median ${ms(cold.median)}, least ${ms(cold.least)}`);
  line(
    '  plain table-lookup pass on them',
    `median ${ms(pass.median)}; the lap costs ${(lap.median / pass.median).toFixed(1)} times that`,
  );
}

head('Cost per station (goal: flat from 500 to 50,000)');
for (const stations of [500, 2000, 10_000, 50_000]) {
  const { problem, track } = lapOf(KARTS[0], 'brindlequag-works', stations);
  const lap = timed(
    Math.max(15, Math.floor(200_000 / stations)),
    Math.max(10, Math.floor(200_000 / stations)),
    () => solveLap(problem, conditions(track)),
  );
  line(`${track.count} stations`, `${((lap.median * 1e6) / track.count).toFixed(0)} ns a station`);
}

head(`Default spacing, ${DEFAULT_SPACING} m, against the converged lap (goal: within 1 ms)`);
for (const trackId of Object.keys(project.tracks)) {
  for (const kart of KARTS) {
    const time = (spacing: number) =>
      perform(project, { verb: 'lap', kart, day: 'mild', track: trackId, spacing }).result?.time ??
      Number.NaN;
    const exact = time(DEFAULT_SPACING / 16);
    const errors = [4, 2, 1].map((f) => time(DEFAULT_SPACING * f) - exact);
    line(
      `${kart}, ${trackId}`,
      `${(errors[2]! * 1e3).toFixed(3)} ms; at twice and four times the spacing ${(errors[1]! * 1e3).toFixed(3)} and ${(errors[0]! * 1e3).toFixed(3)} ms`,
    );
  }
}

head('A fresh lap: kart compiled, bound to the track, driven (goal: 2 ms)');
for (const [kart, trackId] of [
  [KARTS[0], 'brindlequag-works'],
  [KARTS[1], 'tansy-hollow'],
] as const) {
  const choice = { kart, day: 'mild' };
  for (const spacing of [0.2, 0.5, 1]) {
    const track = compileTrack(project.tracks[trackId]!, trackId, spacing).track!;
    const compiled = compileKart(project, choice).kart!;
    const bind = timed(100, 100, () => problemOf(compiled, track));
    const fresh = timed(100, 100, () =>
      solveLap(problemOf(compileKart(project, choice).kart!, track), conditions(track)),
    );
    line(
      `${kart}, ${trackId}, ${spacing} m, ${track.count} stations`,
      `median ${ms(fresh.median)}, least ${ms(fresh.least)}; binding kart to track ${ms(bind.median)}`,
    );
  }
}

head('Straight-line runs by odex at 1e-8 (goal: quarter mile under 2 ms)');
for (const kart of KARTS) {
  const run = timed(60, 60, () =>
    perform(project, {
      verb: 'accelerate',
      kart,
      day: 'mild',
      surface: 'asphalt',
      options: { tolerance: 1e-8 },
    }),
  );
  line(`${kart}: quarter mile`, `median ${ms(run.median)}, least ${ms(run.least)}`);
  const stop = timed(60, 60, () =>
    perform(project, { verb: 'brake', kart, day: 'mild', surface: 'asphalt', options: { fromSpeed: 16.7 } }),
  );
  line(`${kart}: stop from 60 km/h`, `median ${ms(stop.median)}, least ${ms(stop.least)}`);
}

head('Lines (goal: fastest of 1 km under 1 s, smoothest under 100 ms, 10 km handled)');
for (const [kart, trackId] of [
  [KARTS[0], 'brindlequag-works'],
  [KARTS[1], 'tansy-hollow'],
] as const) {
  const request = { verb: 'line' as const, kart, day: 'mild', track: trackId };
  const fast = timed(3, 2, () => perform(project, request));
  const smooth = timed(5, 2, () => perform(project, { ...request, options: { smoothestOnly: true } }));
  line(`${kart}, ${trackId}: all three lines`, `median ${ms(fast.median)}, least ${ms(fast.least)}`);
  line('  the smoothest alone', `median ${ms(smooth.median)}, least ${ms(smooth.least)}`);
}
{
  const points = Array.from({ length: 400 }, (_, i) => {
    const t = (2 * Math.PI * i) / 400;
    const r = 1500 + 90 * Math.sin(9 * t);
    return { x: r * Math.cos(t), y: r * Math.sin(t) };
  });
  const long = { ...project.tracks['brindlequag-works']!, points, sections: [] };
  const of = { ...project, tracks: { long } };
  const begun = performance.now();
  const { result } = perform(of, { verb: 'line', kart: KARTS[0], day: 'mild', track: 'long' });
  const times = result?.lines.map((l) => `${l.kind} ${l.time.toFixed(2)} s`).join(', ') ?? 'none';
  line('10 km, all three lines', `${ms(performance.now() - begun)}: ${times}`);
}

head('On the way there');
const raw = demoInput();
line('reading the demo project', ms(timed(20, 20, () => readProjectValue(raw)).median));
line(
  'compiling a kart',
  ms(timed(50, 50, () => compileKart(project, { kart: KARTS[0], day: 'mild' })).median),
);
line(
  'compiling a track at the default spacing',
  ms(timed(20, 20, () => compileTrack(project.tracks['brindlequag-works']!, 't')).median),
);
line(
  'a whole lap from project to columns',
  ms(
    timed(40, 40, () =>
      perform(project, { verb: 'lap', kart: KARTS[0], day: 'mild', track: 'brindlequag-works' }),
    ).median,
  ),
);

head('Studies: 60 pairs x 3 tracks x 2 donors (goal: 1 s on 2 cores; two workers 1.7 times one)');
{
  const listed = (from: number, count: number, step: number) =>
    Array.from({ length: count }, (_, i) => ({ teeth: from + step * i, owned: true }));
  // Every pair around those fitted: 14/49 and 15/38 are among them.
  const sixty = { ...project, sprockets: { front: listed(11, 5, 1), rear: listed(34, 12, 2) } };
  const kartsOfTwo = ['clodlet-four-knobbly', 'clodlet-single-knobbly'].map((id) => ({
    id,
    sprockets: { front: 14, rear: 38 },
  }));
  const karts = { ...project.karts };
  for (const { id, sprockets } of kartsOfTwo) karts[id] = { ...karts[id]!, sprockets };
  const study = { ...sixty, karts };
  const tracks = ['tansy-hollow', 'brindlequag-works', 'cinder-yard'];
  const planned = kartsOfTwo.map(
    ({ id }) => planTeeth(study, { kart: id, day: 'mild', tracks, stock: 'owned' }).study!,
  );
  const asked = planned.flatMap((p) => p.requests);
  const laps = asked.reduce((n, r) => n + (r.verb === 'sweep' ? r.variants.length : 1), 0);
  const least: number[] = [];
  for (const workers of [1, 2]) {
    const pool = createPool({ workers, spawn: spawnInNode });
    const batch = { project: study, revision: 0, requests: asked };
    const once = async () => {
      const start = performance.now();
      await pool.run(batch);
      return performance.now() - start;
    };
    const first = await once();
    const again = [await once(), await once(), await once(), await once(), await once()];
    pool.dispose();
    least.push(Math.min(...again));
    line(
      `${laps} laps on ${workers} worker${workers > 1 ? 's' : ''}`,
      `first, threads starting, ${ms(first)}; then median ${ms(again.toSorted((a, b) => a - b)[2]!)}, least ${ms(least.at(-1)!)}`,
    );
  }
  line('two workers against one', `${(least[0]! / least[1]!).toFixed(2)} times as fast`);
}

head('Unknowns: 2,000 draws x 2 karts on one lap (goal: 4 s on 2 cores; two workers 1.7 times one)');
{
  const runs = ['clodlet-four-asphalt', 'clodlet-single-asphalt'].map((kart) => ({
    verb: 'lap' as const,
    kart,
    day: 'mild',
    track: 'brindlequag-works',
  }));
  const { notes } = readDemo();
  const start = performance.now();
  const { study } = studyUnknowns(project, notes, { runs, draws: 2000 });
  line('planning', ms(performance.now() - start));
  const least: number[] = [];
  for (const workers of [1, 2]) {
    const pool = createPool({ workers, spawn: spawnInNode });
    const round = async (requests: readonly Request[]) => {
      const begun = performance.now();
      const { answers } = await pool.run({ project, revision: 0, requests });
      return { answers, took: performance.now() - begun };
    };
    const first = await round(study!.requests);
    const again = await round(study!.requests);
    const second = await round(study!.more!(again.answers));
    pool.dispose();
    least.push(Math.min(first.took, again.took));
    const combining = performance.now();
    study!.combine([...again.answers, ...second.answers]);
    line(
      `draws on ${workers} worker${workers > 1 ? 's' : ''}`,
      `first, threads starting, ${ms(first.took)}; again ${ms(again.took)}; the shares ${ms(second.took)}; combining ${ms(performance.now() - combining)}`,
    );
  }
  line('two workers against one', `${(least[0]! / least[1]!).toFixed(2)} times as fast`);
}

head(`Workers (${availableParallelism()} cores)`);
const requests: Request[] = Array.from({ length: 120 }, (_, i) => ({
  verb: 'lap',
  kart: KARTS[i % 2]!,
  day: 'mild',
  track: 'brindlequag-works',
}));
const times: number[] = [];
for (const workers of [1, 2]) {
  const pool = createPool({ workers, spawn: spawnInNode });
  const batch = { project, revision: 0, requests };
  await pool.run(batch);
  const start = performance.now();
  await pool.run(batch);
  times.push(performance.now() - start);
  pool.dispose();
  line(`${requests.length} laps on ${workers} worker${workers > 1 ? 's' : ''}`, ms(times.at(-1)!));
}
line('two workers against one', `${(times[0]! / times[1]!).toFixed(2)} times as fast`);
