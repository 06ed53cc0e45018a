/** The worker file of the evidence in the browser. */
import * as Comlink from 'comlink';
import { evidenceService } from './evidence-service.ts';

Comlink.expose(evidenceService);
