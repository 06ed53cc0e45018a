/** The worker file that reads logs of outings in the browser. */
import * as Comlink from 'comlink';
import type { ColumnChoices } from '../../log-files/log-columns.ts';
import type { LogRead } from '../../log-files/read-log.ts';
import { readLog } from '../../log-files/read-log.ts';

export interface LogReader {
  read(file: File, choices: ColumnChoices): Promise<LogRead>;
}

const reader: LogReader = {
  read: async (file, choices) => readLog(file.name, await file.text(), choices),
};

Comlink.expose(reader);
