// The first file of a Node thread in development: registers tsx (threads do not inherit it), then reads the worker.
import { workerData } from 'node:worker_threads';
import { register } from 'tsx/esm/api';

register();
await import(workerData.file);
