/** Share links: what goes in comes out; what anybody may put there does no harm. */
import { deflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoInput } from '../../../../ui/demo/demo-project.ts';
import {
  MAX_LINK,
  MAX_UNPACKED,
  SHARED,
  shareAddress,
  unpackShared,
} from '../../../../ui/web/exchange/share-link.ts';

const PAGE = 'https://example.org/kartwright/';

async function fragmentOf(document: Record<string, unknown>): Promise<string> {
  const packed = await shareAddress(document, `${PAGE}#/project`);
  if (!('address' in packed)) throw new Error(packed.problem.message);
  expect(packed.address.startsWith(PAGE + SHARED)).toBe(true);
  return packed.address.slice(PAGE.length);
}

const pack = (bytes: Uint8Array | string) => SHARED + deflateRawSync(bytes).toString('base64url');

describe('share link', () => {
  test('brings any document back, in letters an address may have', async () => {
    const document = fc.dictionary(fc.string({ unit: 'grapheme' }), fc.jsonValue(), { maxKeys: 6 });
    await fc.assert(
      fc.asyncProperty(document, async (value) => {
        const fragment = await fragmentOf(value);
        expect(fragment).toMatch(/^#\/shared\/[\w-]+$/);
        expect(await unpackShared(fragment)).toEqual({ text: JSON.stringify(value) });
      }),
      { numRuns: 200 },
    );
  });

  test('takes the whole demo, well below its limit', async () => {
    const fragment = await fragmentOf(demoInput());
    expect(fragment.length).toBeLessThan(MAX_LINK / 3);
    expect(await unpackShared(fragment)).toEqual({ text: JSON.stringify(demoInput()) });
  });

  test('says when a project is too large, with size and limit', async () => {
    const noise = Array.from({ length: 20_000 }, (_, i) => Math.sin(i * i));
    expect(await shareAddress({ noise }, PAGE)).toMatchObject({
      problem: { code: 'link-too-long', limit: '30000 letters' },
    });
  });

  test('unpacks what another program packed by the same standards', async () => {
    expect(await unpackShared(pack('{"kartwright":1}'))).toEqual({ text: '{"kartwright":1}' });
  });

  test.each([
    ['nothing', SHARED],
    ['markup', `${SHARED}<img src=x onerror=alert(1)>`],
    ['letters of another alphabet', `${SHARED}ab+/==`],
    ['one letter too few', `${SHARED}abcde`],
    ['no compressed data', `${SHARED}AAAA`],
    ['cut short', pack(JSON.stringify(demoInput())).slice(0, 900)],
    ['not text', pack(new Uint8Array([0xff, 0xfe, 0xc0, 0x80]))],
    ['far too long', SHARED + 'A'.repeat(3 * MAX_LINK)],
  ])('refuses %s in words', async (_, fragment) => {
    expect(await unpackShared(fragment)).toMatchObject({ problem: { code: 'bad-link' } });
  });

  test('gives up on a bomb before it is unpacked', async () => {
    const bomb = pack(new Uint8Array(20 * MAX_UNPACKED));
    expect(bomb.length).toBeLessThan(2 * MAX_LINK);
    expect(await unpackShared(bomb)).toMatchObject({
      problem: { message: expect.stringContaining('unpacks to more') },
    });
  });

  test('never throws, whatever the letters', async () => {
    await fc.assert(
      fc.asyncProperty(fc.string({ maxLength: 200 }), fc.base64String({ maxLength: 400 }), async (a, b) => {
        for (const letters of [a, b]) {
          const found = await unpackShared(SHARED + letters);
          expect('problem' in found || typeof found.text === 'string').toBe(true);
        }
      }),
      { numRuns: 300 },
    );
  });
});
