/** True once `on` has held for a while: an answer that comes at once is never greyed, so nothing flickers. */
import { useEffect, useState } from 'preact/hooks';

/** ms; shorter waits are not felt as waiting (common practice, no source). */
const UNNOTICED = 150;

export function useLate(on: boolean): boolean {
  const [late, setLate] = useState(false);
  useEffect(() => {
    if (!on) {
      setLate(false);
      return undefined;
    }
    const timer = setTimeout(() => setLate(true), UNNOTICED);
    return () => clearTimeout(timer);
  }, [on]);
  return on && late;
}
