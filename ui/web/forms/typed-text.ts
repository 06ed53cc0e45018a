/**
 * The text of a field while somebody types in it.
 *
 * In: the value of the document. Out: text, refusal and handlers. Keeps what was typed when it is refused; follows
 * the document when the value changes from elsewhere (undo, another kart).
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Understood } from './quantity-text.ts';

export interface TypedTextOptions {
  /** Identifies what is edited: another one resets the field. */
  readonly of: string;
  readonly value: number;
  readonly format: (value: number) => string;
  readonly understand: (typed: string) => Understood;
  readonly onValue: (value: number, text: string, gesture: string) => void;
  /** At every change of the text: can it be read? */
  readonly onReadable?: ((isReadable: boolean) => void) | undefined;
}

export interface TypedText {
  readonly text: string;
  readonly understood: Understood;
  /** One stay in the field is one undo step. */
  readonly gesture: () => string;
  readonly onFocus: () => void;
  readonly onInput: (typed: string) => void;
  readonly onLeave: () => void;
}

export function useTypedText(options: TypedTextOptions): TypedText {
  const { of, value, format, understand, onValue } = options;
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const sent = useRef<number | undefined>(undefined);
  const stay = useRef(0);
  useEffect(() => {
    if (sent.current === value) return;
    sent.current = undefined;
    setTyped(undefined);
  }, [value]);
  useEffect(() => {
    sent.current = undefined;
    setTyped(undefined);
  }, [of]);
  const text = typed ?? format(value);
  const gesture = (): string => `${of}#${stay.current}`;
  return {
    text,
    understood: typed === undefined ? { ok: true, value, text } : understand(typed),
    gesture,
    onFocus: () => {
      stay.current += 1;
    },
    onInput: (next) => {
      setTyped(next);
      const found = understand(next);
      options.onReadable?.(found.ok);
      if (!found.ok || found.value === value) return;
      sent.current = found.value;
      onValue(found.value, found.text, gesture());
    },
    onLeave: () => {
      if (typed !== undefined && understand(typed).ok) setTyped(undefined);
    },
  };
}
