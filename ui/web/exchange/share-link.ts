/**
 * A whole small project as the end of an address: `#/shared/` and its text, compressed, in letters an address may
 * have (RFC 4648, section 5: base64url).
 *
 * In: a document, or the fragment of an address from anywhere. Out: an address, or the text, or a problem. The
 * fragment of an address is never sent to a server. What a hostile fragment unpacks to is bounded.
 */
import type { Problem } from '../../../sim/index.ts';
import { problem } from '../../../sim/index.ts';
import type { ProjectDocument } from '../state/document.ts';

export const SHARED = '#/shared/';
/** Letters. Browsers take more; messages and mails begin to cut addresses somewhere beyond. */
export const MAX_LINK = 30_000;
/** Bytes unpacked: over ten times what a project of MAX_LINK unpacks to. */
export const MAX_UNPACKED = 2_000_000;

export type Packed = { readonly address: string } | { readonly problem: Problem };
export type Unpacked = { readonly text: string } | { readonly problem: Problem };

/** The address of this page, with the project in it. `page`: where the page is, its fragment apart. */
export async function shareAddress(document: ProjectDocument, page: string): Promise<Packed> {
  if (typeof CompressionStream === 'undefined') {
    return {
      problem: problem('link-unsupported', '', 'this browser cannot make links', {
        remedy: 'save the project as a file',
      }),
    };
  }
  const text = new TextEncoder().encode(JSON.stringify(document));
  const packed = await through(text, new CompressionStream('deflate-raw'), Number.POSITIVE_INFINITY);
  const fragment = `${SHARED}${toBase64Url(packed)}`;
  if (fragment.length > MAX_LINK || text.length > MAX_UNPACKED) {
    return {
      problem: problem('link-too-long', '', 'the project is too large for a link', {
        value: `${fragment.length} letters`,
        limit: `${MAX_LINK} letters`,
        remedy: 'save it as a file and send that',
      }),
    };
  }
  return { address: `${page.split('#')[0]}${fragment}` };
}

export function isShared(fragment: string): boolean {
  return fragment.startsWith(SHARED);
}

/** The text in a fragment; never throws. */
export async function unpackShared(fragment: string): Promise<Unpacked> {
  const letters = fragment.slice(SHARED.length);
  if (letters.length > 2 * MAX_LINK) return broken('it is longer than any link made here');
  if (typeof DecompressionStream === 'undefined') return broken('this browser cannot unpack links');
  const packed = fromBase64Url(letters);
  if (packed === undefined) return broken('it has letters that do not belong, or was cut short');
  try {
    const bytes = await through(packed, new DecompressionStream('deflate-raw'), MAX_UNPACKED);
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch (error) {
    if (error instanceof TooMuch) return broken('it unpacks to more than any project needs');
    return broken('it is damaged or was cut short');
  }
}

function broken(why: string): Unpacked {
  return {
    problem: problem('bad-link', '', `the project in this link cannot be read: ${why}`, {
      remedy: 'ask for the link again, or for the project as a file',
    }),
  };
}

class TooMuch extends Error {}

/** What comes out of a stream that is fed with `bytes`; gives up once it is more than `most`. */
async function through(
  bytes: Uint8Array<ArrayBuffer>,
  stream: CompressionStream | DecompressionStream,
  most: number,
): Promise<Uint8Array<ArrayBuffer>> {
  const writer = stream.writable.getWriter();
  // A failure shows where the stream is read.
  writer.write(bytes).catch(() => {});
  writer.close().catch(() => {});
  const reader = stream.readable.getReader();
  const chunks: Uint8Array[] = [];
  let length = 0;
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    length += part.value.length;
    if (length > most) {
      reader.cancel().catch(() => {});
      throw new TooMuch();
    }
    chunks.push(part.value);
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}

/** Bytes turned into letters at a time: a call takes only so many arguments. */
const PIECE = 8192;

function toBase64Url(bytes: Uint8Array): string {
  let binary = '';
  for (let at = 0; at < bytes.length; at += PIECE)
    binary += String.fromCharCode(...bytes.subarray(at, at + PIECE));
  return btoa(binary).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

function fromBase64Url(letters: string): Uint8Array<ArrayBuffer> | undefined {
  if (!/^[\w-]+$/.test(letters)) return undefined;
  try {
    const binary = atob(letters.replaceAll('-', '+').replaceAll('_', '/'));
    return Uint8Array.from(binary, (letter) => letter.charCodeAt(0));
  } catch {
    return undefined;
  }
}
