/** Numbers for people: in the units the project asks for, with no more digits than are known. */
import type { Dimension, Project } from '../../sim/index.ts';
import { findUnit, fromSI, siLabel } from '../../sim/index.ts';

const USUAL: Partial<Record<Dimension, string>> = {
  speed: 'km/h',
  angularSpeed: 'rpm',
  length: 'm',
  mass: 'kg',
  power: 'hp',
  torque: 'N·m',
  force: 'N',
  ratio: '%',
  angle: '°',
  acceleration: 'g',
  time: 's',
};

export interface Shown {
  /** `72.4 km/h`; a dash for null */
  value(x: number | null | undefined, dimension: Dimension, decimals: number): string;
  unit(dimension: Dimension): string;
  number(x: number, dimension: Dimension): number;
}

export function shownUnits(project: Project): Shown {
  const unitOf = (dimension: Dimension) => {
    const wanted = project.units[dimension] ?? USUAL[dimension] ?? siLabel(dimension);
    return findUnit(dimension, wanted) ?? findUnit(dimension, siLabel(dimension))!;
  };
  return {
    value(x, dimension, decimals) {
      if (x === null || x === undefined || !Number.isFinite(x)) return '-';
      const unit = unitOf(dimension);
      return `${fixed(fromSI(x, unit), decimals)}${unit.label === '' ? '' : ` ${unit.label}`}`;
    },
    unit: (dimension) => unitOf(dimension).label,
    number: (x, dimension) => fromSI(x, unitOf(dimension)),
  };
}

/** As toFixed, but a number that rounds to nothing has no sign. */
export function fixed(x: number, decimals: number): string {
  const text = x.toFixed(decimals);
  return /^-[0.]+$/.test(text) ? text.slice(1) : text;
}
