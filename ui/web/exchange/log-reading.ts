/** Reading one log beside the page. */
import type { ColumnChoices } from '../../log-files/log-columns.ts';
import type { LogRead } from '../../log-files/read-log.ts';
import { besidePage } from './beside-page.ts';
import type { LogReader } from './log-worker.ts';

export interface LogReading {
  readonly read: Promise<LogRead>;
  /** Stops it; it is then never answered. */
  end(): void;
}

export function readLogBeside(file: File, choices: ColumnChoices = {}): LogReading {
  const worker = new Worker(new URL('./log-worker.ts', import.meta.url), {
    type: 'module',
    name: 'kartwright log',
  });
  const { service, ask, end } = besidePage<LogReader>(worker);
  const read = async (): Promise<LogRead> => {
    const found = await ask(service.read(file, choices));
    end();
    return 'columns' in found ? found : { columns: [], heads: [], remarks: [], problems: found.problems };
  };
  return { read: read(), end };
}
