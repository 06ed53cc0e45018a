/** The worker file that reads course files in the browser. */
import * as Comlink from 'comlink';
import { createCourseReader } from './course-reader.ts';

Comlink.expose(createCourseReader());
