/**
 * The real solver behind real threads, on the demo: what comes back is bit for bit what a direct call gives, for
 * every verb and any number of workers, and survives being handed over.
 */
import { afterAll, describe, expect, it } from 'vitest';
import { type Answer, type Project, perform, type Request, type Verb } from '../../sim/index.ts';
import { readDemo } from '../../ui/demo/demo-project.ts';
import { createClient } from '../../workers/client.ts';
import { createPool } from '../../workers/pool.ts';
import { spawnInNode } from '../../workers/spawn-node.ts';
import { buffersOf } from '../../workers/transferables.ts';

const project = demoProject();
const days = Object.keys(project.days);
const karts = Object.keys(project.karts);
const client = createClient({ spawn: spawnInNode });
afterAll(() => client.dispose());

const surface = 'asphalt';
/** One request of each verb; the type makes a new verb fail to compile until it is added. */
const OF_EACH_VERB: { readonly [V in Verb]: (kart: string, day: string) => Extract<Request, { verb: V }> } = {
  sheet: (kart, day) => ({ verb: 'sheet', kart, day }),
  chain: (kart, day) => ({ verb: 'chain', kart, day }),
  accelerate: (kart, day) => ({ verb: 'accelerate', kart, day, surface }),
  topspeed: (kart, day) => ({ verb: 'topspeed', kart, day, surface }),
  brake: (kart, day) => ({ verb: 'brake', kart, day, surface, options: { fromSpeed: 20 } }),
  'balance-curve': (kart, day) => ({ verb: 'balance-curve', kart, day, surface }),
  'brake-in-corner': (kart, day) => ({
    verb: 'brake-in-corner',
    kart,
    day,
    surface,
    options: { speed: 15, lateralShare: 0.5 },
  }),
  corner: (kart, day) => ({ verb: 'corner', kart, day, surface, options: { radius: 12 } }),
  'corner-curve': (kart, day) => ({ verb: 'corner-curve', kart, day, surface }),
  lap: (kart, day) => ({ verb: 'lap', kart, day, track: 'tansy-hollow' }),
  line: (kart, day) => ({ verb: 'line', kart, day, track: 'tansy-hollow', options: { smoothestOnly: true } }),
  sweep: (kart, day) => ({
    verb: 'sweep',
    of: { verb: 'lap', kart, day, track: 'tansy-hollow' },
    variants: [[], [{ path: `karts.${kart}.driver.mass`, value: 90 }]],
  }),
};

const requestsFor = (those: readonly string[]): readonly Request[] =>
  those.flatMap((kart) => Object.values(OF_EACH_VERB).map((make): Request => make(kart, days[0] ?? '')));

describe('the real solver in a thread', () => {
  it('answers every verb for every demo kart', async () => {
    const requests = requestsFor(karts);
    const { status, problems, answers } = await client.run({ project, revision: 1, requests });
    expect(problems).toEqual([]);
    expect(status).toBe('done');
    const unanswered = answers.flatMap((answer, place) =>
      answer?.result === undefined ? [{ request: requests[place], problems: answer?.problems }] : [],
    );
    expect(unanswered).toEqual([]);
  });

  it('gives the same bits as a direct call, for 1, 2 and 3 workers', async () => {
    const requests = requestsFor(karts.slice(0, 2));
    const direct = requests.map((request) => perform(project, request));
    for (const workers of [1, 2, 3]) {
      const pool = createPool({ workers, spawn: spawnInNode });
      try {
        const { answers } = await pool.run({ project, revision: 1, requests });
        expect(answers.map(bitsOf)).toEqual(direct.map(bitsOf));
      } finally {
        pool.dispose();
      }
    }
  }, 60_000);

  it('makes every answer of arrays of its own, so that they can be handed over', () => {
    const requests = requestsFor(karts.slice(0, 2));
    const owners = new Map<ArrayBuffer, Request>();
    for (const request of [...requests, ...requests]) {
      for (const buffer of buffersOf(perform(project, request))) {
        expect(owners.get(buffer), `${request.verb} shares an array with`).toBeUndefined();
        owners.set(buffer, request);
      }
    }
    expect(owners.size).toBeGreaterThan(requests.length); // there were arrays to look at
  });

  it('knows the verb of an answer by its requests', async () => {
    const ofLap = [OF_EACH_VERB.lap(karts[0] ?? '', days[0] ?? '')];
    const { answers } = await client.run({ project, revision: 1, requests: ofLap }, { channel: 'lap' });
    // Compiles only because the answers of lap requests are lap results.
    expect(answers[0]?.result?.time).toBeGreaterThan(1);
  });
});

function demoProject(): Project {
  const { project, problems } = readDemo();
  if (project === undefined) throw new Error(`the demo does not read: ${problems[0]?.message}`);
  return project;
}

/** Everything in an answer as text, numbers by their 64 bits (so that -0 and the last digit count). */
function bitsOf(answer: Answer | undefined): string {
  const cell = new Float64Array(1);
  const word = new BigUint64Array(cell.buffer);
  return JSON.stringify(answer, (_key, value: unknown) => {
    if (ArrayBuffer.isView(value))
      return { [value.constructor.name]: [...(value as unknown as Iterable<number>)].map(bits) };
    return typeof value === 'number' ? bits(value) : value;
  });
  function bits(value: number): string {
    cell[0] = value;
    return (word[0] ?? 0n).toString(16);
  }
}
