/** What is kept, where and since when, in words. */
import type { Storing } from '../store/kept-projects.ts';

/** "12:41", with the date where it is not today's. */
export function whenWord(at: number, now: number): string {
  const [then, today] = [new Date(at), new Date(now)];
  const time = then.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
  if (then.toDateString() === today.toDateString()) return time;
  return `${then.toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric' })}, ${time}`;
}

export function storingWord(storing: Storing, now: number): string {
  switch (storing.kind) {
    case 'nothing':
      return 'nothing changed yet';
    case 'saving':
      return 'being kept …';
    case 'kept':
      return `kept in this browser, ${whenWord(storing.at, now)}`;
    case 'conflict':
      return 'not kept: changed in another tab';
    default:
      return 'not kept';
  }
}

export function bytesWord(bytes: number): string {
  if (bytes < 1e6) return `${Math.max(1, Math.round(bytes / 1e3))} kB`;
  return bytes < 1e9 ? `${(bytes / 1e6).toPrecision(2)} MB` : `${(bytes / 1e9).toPrecision(2)} GB`;
}
