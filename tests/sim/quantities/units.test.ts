/** Every unit factor against mathjs, a general-purpose library with its own unit definitions. */
import { unit as reference } from 'mathjs';
import { describe, expect, it } from 'vitest';
import { QUANTITIES } from '../../../sim/quantities/table.ts';
import type { Dimension } from '../../../sim/quantities/units.ts';
import { DIMENSIONS, findUnit, fromSI, inUnit, toSI, unitsOf } from '../../../sim/quantities/units.ts';

/** How mathjs writes one of each unit; where it lacks the unit, its definition in units mathjs has. */
const REFERENCE: Partial<Record<Dimension, Record<string, string>>> = {
  length: {
    m: '1 m',
    mm: '1 mm',
    cm: '1 cm',
    km: '1 km',
    in: '1 inch',
    ft: '1 ft',
    mi: '1 mile',
    yd: '1 yard',
  },
  area: { 'm²': '1 m^2', 'cm²': '1 cm^2', 'mm²': '1 mm^2', 'ft²': '1 sqft', 'in²': '1 sqin' },
  volume: { 'm³': '1 m^3', cc: '1 cc', L: '1 litre', 'in³': '1 cuin' },
  mass: { kg: '1 kg', g: '1 gram', lb: '1 lbm', st: '1 stone' },
  force: { N: '1 N', kN: '1 kN', lbf: '1 lbf', kgf: '1 kgf' },
  torque: { N·m: '1 N m', lbf·ft: '1 lbf ft', lbf·in: '1 lbf inch', kgf·m: '1 kgf m' },
  power: { W: '1 W', kW: '1 kW', hp: '550 lbf ft/s', PS: '75 kgf m/s' },
  pressure: {
    Pa: '1 Pa',
    kPa: '1 kPa',
    hPa: '1 hPa',
    bar: '1 bar',
    psi: '1 psi',
    // Conventional inch of mercury: 13 595.1 kg/m3 at standard gravity.
    inHg: '0.034531554 kgf/cm^2',
  },
  speed: { 'm/s': '1 m/s', 'km/h': '1 km/h', mph: '1 mi/h', 'ft/s': '1 ft/s' },
  acceleration: { 'm/s²': '1 m/s^2', g: '1 kgf/kg', 'ft/s²': '1 ft/s^2' },
  angularSpeed: { 'rad/s': '1 rad/s', rpm: '1 cycle/min' },
  temperature: { K: '1 K', '°C': '1 degC', '°F': '1 degF' },
  angle: { rad: '1 rad', '°': '1 deg' },
  stiffness: { 'N/m': '1 N/m', 'N/mm': '1 N/mm', 'lbf/in': '1 lbf/inch', 'kgf/mm': '1 kgf/mm' },
  rollStiffness: { 'N·m/rad': '1 N m/rad', 'N·m/°': '1 N m/deg', 'lbf·ft/°': '1 lbf ft/deg' },
  inertia: { 'kg·m²': '1 kg m^2', 'kg·cm²': '1 kg cm^2', 'slug·ft²': '1 lbf s^2 ft' },
  density: { 'kg/m³': '1 kg/m^3', 'slug/ft³': '1 lbf s^2/ft^4' },
  time: { s: '1 s', ms: '1 ms', min: '1 minute' },
  perSpeed: { 's/m': '1 s/m', '1/(km/h)': '1 h/km' },
  perSpeedSquared: { 's²/m²': '1 s^2/m^2' },
};
const SI: Partial<Record<Dimension, string>> = {
  length: 'm',
  area: 'm^2',
  volume: 'm^3',
  mass: 'kg',
  force: 'N',
  torque: 'N m',
  power: 'W',
  pressure: 'Pa',
  speed: 'm/s',
  acceleration: 'm/s^2',
  angularSpeed: 'rad/s',
  temperature: 'K',
  angle: 'rad',
  stiffness: 'N/m',
  rollStiffness: 'N m/rad',
  inertia: 'kg m^2',
  density: 'kg/m^3',
  time: 's',
  perSpeed: 's/m',
  perSpeedSquared: 's^2/m^2',
};
/** mathjs carries some factors (psi, lbf) to ten digits or a few more. */
const REFERENCE_ROUNDING = 1e-10;

describe('unit factors', () => {
  const dimensionless: Dimension[] = ['ratio', 'count', 'money'];
  for (const dimension of DIMENSIONS.filter((d) => !dimensionless.includes(d))) {
    for (const unit of unitsOf(dimension)) {
      it(`${dimension}: one ${unit.label} is what mathjs says`, () => {
        const expression = REFERENCE[dimension]?.[unit.label];
        const si = SI[dimension];
        if (expression === undefined || si === undefined) throw new Error(`no reference for ${unit.label}`);
        const expected = reference(expression).toNumber(si);
        expect(Math.abs(toSI(1, unit) / expected - 1)).toBeLessThan(REFERENCE_ROUNDING);
      });
    }
  }

  it('per cent is a hundredth', () => {
    expect(findUnit('ratio', '%')?.factor).toBe(0.01);
  });

  it('converts there and back', () => {
    for (const dimension of DIMENSIONS) {
      for (const unit of unitsOf(dimension)) {
        // Two roundings of a double, and the offset of temperatures beside a value of 12.
        expect(Math.abs(fromSI(toSI(12.345, unit), unit) - 12.345)).toBeLessThan(1e-11);
      }
    }
  });

  it('fixed points of the temperature scales (exact by definition)', () => {
    expect(inUnit(273.15, 'temperature', '°C')).toBe(0);
    expect(inUnit(373.15, 'temperature', '°F')).toBeCloseTo(212, 10);
    expect(inUnit(233.15, 'temperature', '°C')).toBeCloseTo(inUnit(233.15, 'temperature', '°F'), 10);
  });
});

describe('finding a unit', () => {
  it('takes the spellings of the trade', () => {
    for (const typed of ['lbf·ft', 'lbf*ft', 'lb-ft', 'LB.FT', 'ft lb', 'ft-lbs']) {
      expect(findUnit('torque', typed)?.label, typed).toBe('lbf·ft');
    }
    for (const typed of ['N·m', 'Nm', 'N*m', 'n m'])
      expect(findUnit('torque', typed)?.label, typed).toBe('N·m');
    for (const typed of ['km/h', 'kmh', 'KPH', 'km / h'])
      expect(findUnit('speed', typed)?.label, typed).toBe('km/h');
    for (const typed of ['lb/in', 'lbf/in', 'lbs/in'])
      expect(findUnit('stiffness', typed)?.label).toBe('lbf/in');
  });

  it('keeps dimensions apart: pounds are mass or force as asked', () => {
    expect(findUnit('mass', 'lb')?.factor).toBe(0.45359237);
    expect(findUnit('force', 'lb')?.factor).toBeCloseTo(4.4482216152605, 12);
    expect(findUnit('length', 'kg')).toBeUndefined();
    expect(findUnit('length', 'toString')).toBeUndefined();
  });

  it('gives no spelling to two units of one dimension', () => {
    for (const dimension of DIMENSIONS) {
      for (const unit of unitsOf(dimension)) {
        for (const spelling of [unit.label, ...(unit.also ?? [])]) {
          expect(findUnit(dimension, spelling)?.label, `${dimension} '${spelling}'`).toBe(unit.label);
        }
      }
    }
  });
});

describe('the table of quantities', () => {
  for (const [name, row] of Object.entries(QUANTITIES) as [
    string,
    (typeof QUANTITIES)['mass'] & { default?: number; usual?: readonly [number, number] },
  ][]) {
    it(`${name} has a sound row`, () => {
      expect(findUnit(row.dimension, row.shown), 'unit shown').toBeDefined();
      expect(row.min).toBeLessThan(row.max);
      if (row.default !== undefined) {
        expect(row.default).toBeGreaterThanOrEqual(row.min);
        expect(row.default).toBeLessThanOrEqual(row.max);
      }
      if (row.usual !== undefined) {
        expect(row.usual[0]).toBeLessThan(row.usual[1]);
        expect(row.usual[0]).toBeGreaterThanOrEqual(row.min);
        expect(row.usual[1]).toBeLessThanOrEqual(row.max);
      }
      expect(row.label).not.toBe('');
      expect(row.measure).not.toBe('');
    });
  }
});
