/** Which inputs an answer draws on; the studies of sim ask the same. */
export { inputsInUse, isCourse, isInUse, pathsInUse } from '../../../sim/index.ts';
