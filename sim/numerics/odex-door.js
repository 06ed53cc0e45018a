// odex publishes TypeScript sources without declarations; strict checking of those sources fails,
// so this door re-exports the class and odex-door.d.ts beside it declares what is used here.
export { Solver } from 'odex';
