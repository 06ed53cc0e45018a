/**
 * The edits a builder can make on this page, as commands on the document.
 *
 * In: which part of the kart, and what was typed. Out: a named command. Values are written as the builder wrote
 * them, unit included; whether they are sound is the reader's to say.
 */
import type { ProjectDocument } from './document.ts';
import { bareValue, withBareValue, withoutValue, withValue, written } from './document.ts';
import type { Command } from './history.ts';

export type Axle = 'front' | 'rear';

export function setTeeth(kart: string, axle: Axle, teeth: number): Command {
  return {
    label: `${axle} sprocket ${teeth}`,
    apply: (document) => withBareValue(document, ['karts', kart, 'sprockets', axle], teeth),
  };
}

/** Both sprockets in one step to undo. */
export function setPair(
  kart: string,
  { front, rear }: { readonly front: number; readonly rear: number },
): Command {
  return {
    label: `sprockets ${front}/${rear}`,
    apply: (document) => setTeeth(kart, 'rear', rear).apply(setTeeth(kart, 'front', front).apply(document)),
  };
}

export function setFinalRatio(kart: string, text: string): Command {
  return {
    label: `final drive ${text}`,
    apply: (document) => withBareValue(document, ['karts', kart, 'finalRatio'], text),
  };
}

export function setTyre(kart: string, axle: Axle, tyre: string, name: string): Command {
  return {
    label: `${axle} tyre ${name}`,
    apply: (document) => withValue(document, ['karts', kart, 'tyres', axle], tyre),
  };
}

export function setDriverMass(kart: string, text: string): Command {
  return {
    label: `driver ${text}`,
    apply: (document) => withBareValue(document, ['karts', kart, 'driver', 'mass'], text),
  };
}

/**
 * Ballast at the driver's place; the first entry of the list where there is one already. None of it at the seat takes the
 * entry out, so that the kart is what it was before.
 */
export function setBallast(kart: string, kilograms: number, text: string): Command {
  return {
    label: `ballast ${text}`,
    apply(document) {
      const place = ['karts', kart, 'ballast'];
      const chassis = bareValue(document, ['karts', kart, 'chassis']);
      const seat = chassis === undefined ? undefined : written(document, ['chassis', chassis, 'driverAt']);
      const entries = written(document, place);
      const [first, ...others] = Array.isArray(entries) ? entries : [];
      if (first === undefined)
        return kilograms === 0 ? document : withValue(document, place, [{ mass: text, ...(seat as object) }]);
      const { mass: _, ...elsewhere } = first as Record<string, unknown>;
      const isAtSeat = JSON.stringify(elsewhere) === JSON.stringify({ ...(seat as object) });
      if (kilograms === 0 && isAtSeat && others.length === 0) return withoutValue(document, place);
      return withBareValue(document, [...place, 0, 'mass'], text);
    },
  };
}

/** Where the front share of a set of brakes is written: at the balance bar, or as a share of force. */
export function brakeSharePlace(document: ProjectDocument, brakes: string): readonly string[] {
  const hydraulics = written(document, ['brakes', brakes, 'hydraulics']);
  const stated = written(document, ['brakes', brakes, 'frontShare']);
  return hydraulics !== undefined && stated === undefined
    ? ['brakes', brakes, 'hydraulics', 'barFrontShare']
    : ['brakes', brakes, 'frontShare'];
}

export function setBrakeShare(brakes: string, text: string): Command {
  return {
    label: `front brakes ${text}`,
    apply: (document) => withBareValue(document, brakeSharePlace(document, brakes), text),
  };
}

export function setSpeedUnit(unit: string): Command {
  return {
    label: `speeds in ${unit}`,
    apply: (document) => withValue(document, ['units', 'speed'], unit),
  };
}
