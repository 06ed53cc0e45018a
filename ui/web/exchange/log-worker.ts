/** The worker file that reads logs of outings in the browser. */
import * as Comlink from 'comlink';
import type { LogRead } from '../../log-files/read-log.ts';
import { readLog } from '../../log-files/read-log.ts';

export interface LogReader {
  read(file: File): Promise<LogRead>;
}

const reader: LogReader = { read: async (file) => readLog(file.name, await file.text()) };

Comlink.expose(reader);
