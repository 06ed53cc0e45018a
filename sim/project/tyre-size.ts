/**
 * Outer diameter from a tyre's size code.
 *
 * In: a code as moulded on the tyre: inch (`20x11-9`, `AT25x8R12`, `10x4.50-5`), metric (`225/40-10`,
 * `P225/70R15`), metric with outer diameter (`180/550-13`), or a bare diameter (`20 in`). Out: metres,
 * or undefined where the code cannot be read. The loaded rolling radius is smaller: that factor is the
 * tyre's `rollingRadiusFactor`, not applied here.
 */

const INCH = 0.0254;
/** No wheel this project could mean is outside these diameters (m). */
const SMALLEST = 0.1;
const LARGEST = 2.5;

const INCH_CODE =
  /^(?:[a-z]{1,3}\s*)?(\d+(?:\.\d+)?)\s*x\s*(\d+(?:\.\d+)?)\s*(?:-|x|z?r|b|d)\s*(\d+(?:\.\d+)?)(?![\d.])/;
const METRIC_CODE =
  /^(?:[a-z]{1,2}\s*)?(\d{2,3})\s*\/\s*(\d{2,3})\s*(?:-|z?r|b|d|\s)\s*(\d+(?:\.\d+)?)(?![\d.])/;
const BARE_INCHES = /^(\d+(?:\.\d+)?)\s*-?\s*(?:in|inch|inches|"|″)$/;

/** Unloaded outer diameter (m): inch codes state it; metric codes give rim + 2 x width x aspect ratio. */
export function tyreDiameter(code: string): number | undefined {
  const written = code
    .trim()
    .toLowerCase()
    .replace(/×|\*/g, 'x')
    .replace(/[–−]/g, '-')
    .replace(/(\d),(\d)/g, '$1.$2');
  return within(fromInchCode(written) ?? fromMetricCode(written) ?? fromBareInches(written));
}

function fromInchCode(code: string): number | undefined {
  const [, diameter, , rim] = INCH_CODE.exec(code) ?? [];
  if (diameter === undefined || rim === undefined || Number(rim) >= Number(diameter)) return undefined;
  return Number(diameter) * INCH;
}

function fromMetricCode(code: string): number | undefined {
  const [, width, second, rim] = METRIC_CODE.exec(code) ?? [];
  if (width === undefined || second === undefined || rim === undefined) return undefined;
  // Above any aspect ratio the second figure is the outer diameter in millimetres.
  const isDiameter = Number(second) >= 200;
  const diameter = isDiameter
    ? Number(second) / 1000
    : Number(rim) * INCH + (2 * Number(width) * Number(second)) / 1e5;
  return diameter > Number(rim) * INCH ? diameter : undefined;
}

function fromBareInches(code: string): number | undefined {
  const [, diameter] = BARE_INCHES.exec(code) ?? [];
  return diameter === undefined ? undefined : Number(diameter) * INCH;
}

function within(diameter: number | undefined): number | undefined {
  return diameter !== undefined && diameter >= SMALLEST && diameter <= LARGEST ? diameter : undefined;
}
