/**
 * Walks an XML file element by element, safely.
 *
 * In: text of any origin and what to do at each element. Out: calls, or a refusal with line and column. A document type
 * declaration is refused as such, so that no entity can be defined; only the five of XML itself are understood. Nesting
 * is bounded, nothing is kept of the text but what is asked for.
 */
import { SaxesParser } from 'saxes';
import { MAX_DEPTH, refuse } from './course-file.ts';

export interface XmlElement {
  /** Without its prefix. */
  readonly name: string;
  readonly prefix: string;
  readonly attribute: (name: string) => string | undefined;
}

export interface XmlVisitor {
  readonly open: (element: XmlElement, path: readonly string[], place: () => string) => void;
  /** `text`: what stood in the element, for those asked for. */
  readonly close: (name: string, text: string, path: readonly string[], place: () => string) => void;
  /** Names of the elements whose text is wanted. */
  readonly wanted: ReadonlySet<string>;
}

/** Characters handed to the parser at a time. */
const SLICE = 65_536;

export function scanXml(text: string, visitor: XmlVisitor): void {
  const parser = new SaxesParser({ xmlns: false, position: true });
  const path: string[] = [];
  let gathered: string[] | undefined;
  const place = (): string => `line ${parser.line}, column ${parser.column}`;
  const take = (piece: string): void => void gathered?.push(piece);
  parser.on('doctype', () =>
    refuse('doctype', place(), 'the file declares a document type, which may define entities', {
      remedy: 'export it again, or delete the <!DOCTYPE ...> with a text editor',
    }),
  );
  parser.on('error', (error) =>
    refuse('not-xml', place(), 'is not XML as it should be', {
      value: error.message.replace(/^[\d:\s]*/, '').slice(0, 120),
      remedy: 'the file is cut short or damaged: open another copy of it',
    }),
  );
  parser.on('opentag', (tag) => {
    const [prefix, name] = split(tag.name);
    path.push(name);
    if (path.length > MAX_DEPTH)
      refuse('too-deep', place(), 'elements are nested too deep', {
        value: `more than ${MAX_DEPTH}`,
        limit: String(MAX_DEPTH),
        remedy: 'a course needs under ten: this file holds something else',
      });
    gathered = visitor.wanted.has(name) ? [] : undefined;
    const attributes = tag.attributes as Readonly<Record<string, string>>;
    visitor.open(
      {
        name,
        prefix,
        attribute: (key) => (Object.hasOwn(attributes, key) ? attributes[key] : undefined),
      },
      path,
      place,
    );
  });
  parser.on('text', take);
  parser.on('cdata', take);
  parser.on('closetag', () => {
    const name = path.at(-1) ?? '';
    visitor.close(name, gathered?.join('') ?? '', path, place);
    gathered = undefined;
    path.pop();
  });
  for (let at = 0; at < text.length; at += SLICE) parser.write(text.slice(at, at + SLICE));
  parser.close();
}

function split(name: string): [prefix: string, local: string] {
  const colon = name.indexOf(':');
  return colon < 0 ? ['', name] : [name.slice(0, colon), name.slice(colon + 1)];
}
