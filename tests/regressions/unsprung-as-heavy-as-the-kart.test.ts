/** Unsprung masses that leave nothing to spring are refused, not divided by. */
import { expect, it } from 'vitest';
import { perform } from '../../sim/index.ts';
import { demoWith } from '../sim/demo-project.ts';

// The reader holds unsprung masses against the chassis; scales may read less than that.
it.each([75, 90])('unsprung %i kg at each end of a kart that weighs 150 kg', (mass) => {
  const project = demoWith((raw) => {
    raw.karts['clodlet-four-asphalt'].weighed = {
      frontLeft: 30,
      frontRight: 30,
      rearLeft: 45,
      rearRight: 45,
      cgHeight: 0.45,
    };
    raw.chassis.clodlet.unsprung = { front: { mass, height: 0.25 }, rear: { mass, height: 0.25 } };
  });
  const answer = perform(project, { verb: 'sheet', kart: 'clodlet-four-asphalt', day: 'mild' });
  expect(answer).toMatchObject({ status: 'problems', problems: [{ code: 'nothing-sprung' }] });
});
