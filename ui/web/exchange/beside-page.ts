/**
 * A worker that reads one file beside the page, for as long as the file is looked at.
 *
 * In: the worker. Out: its service; what is asked of it, or - where it could not start or came to an end - a problem. `end`
 * stops it wherever it is; what was still asked is then never answered.
 */
import * as Comlink from 'comlink';
import type { Problem } from '../../../sim/index.ts';
import { problem } from '../../../sim/index.ts';

export interface BesidePage<Service> {
  readonly service: Comlink.Remote<Service>;
  ask<T>(asked: Promise<T>): Promise<T | { readonly problems: readonly Problem[] }>;
  end(): void;
}

export function besidePage<Service>(worker: Worker): BesidePage<Service> {
  const lost = new Promise<never>((_, reject) => {
    worker.addEventListener('error', ({ message }) =>
      reject(new Error(message || 'its program did not load')),
    );
    worker.addEventListener('messageerror', () => reject(new Error('its answer could not be read')));
  });
  // Heard by whatever is asked; by itself it is no complaint of the page.
  lost.catch(() => {});
  return {
    service: Comlink.wrap<Service>(worker),
    async ask(asked) {
      try {
        return await Promise.race([asked, lost]);
      } catch (error) {
        return { problems: [lostProblem(error)] };
      }
    },
    end: () => worker.terminate(),
  };
}

function lostProblem(error: unknown): Problem {
  return problem('reading-ended', '', 'reading the file came to an end before it was done', {
    value: (error instanceof Error ? error.message : String(error)).slice(0, 120),
    remedy: 'choose the file again; if it ends again, cut it down to the laps you want',
  });
}
