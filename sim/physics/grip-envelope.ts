/**
 * What the tyres allow at one instant: the margin between the forces asked of the axles and their
 * capacity, and the largest drive or braking force that still fits.
 *
 * In: an `EnvelopeKart` (constants of kart and surface) and, per call of `place`, the speed and the
 * ground under it. Out: forces in newtons at the contact patches. The unknown everywhere is x, the
 * sum of longitudinal tyre forces (drive positive); loads are linear in x:
 *
 *   T(x) = [(x - D - R) h + D h_a]/L           load moved rearward, from m ax = x - D - R - m g sin
 *   Fz_f = N b/L + L_f - T,  Fz_r = N a/L + L_r + T
 *   axle:  sqrt((X rho)^2 + Y^2) <= C_y        friction ellipse, rho = C_y/C_x
 *
 * The left sides are convex and the capacities concave in x, so Newton's method started outside the
 * feasible interval runs monotonically to its edge; it is bounded all the same. Friction limits
 * tractive and braking effort; rolling resistance is a separate resistance (Wong, Theory of Ground
 * Vehicles, ch. 3). Written as one closure over numbers because a lap calls it a few thousand times
 * a millisecond.
 */

/** One axle on one surface. */
export interface AxleGrip {
  /** Lateral load curve of one wheel: mu0 (1 + s), mu0 s/F0, top load. */
  readonly slope: number;
  readonly fall: number;
  readonly topLoad: number;
  /** rho, lateral over longitudinal peak friction. */
  readonly lateralRatio: number;
  /** Rolling resistance f0, f1, f2 in f0 (1 + f1 v + f2 v^2). */
  readonly rolling: number;
  readonly rollingPerSpeed: number;
  readonly rollingPerSpeedSquared: number;
}

export interface EnvelopeKart {
  readonly mass: number;
  readonly gravity: number;
  readonly wheelbase: number;
  /** a, front axle to centre of gravity; b, centre of gravity to rear axle; m */
  readonly toFront: number;
  readonly toRear: number;
  readonly cgHeight: number;
  readonly trackFront: number;
  readonly trackRear: number;
  /** H_f, H_r of load-transfer.ts, m */
  readonly transferFront: number;
  readonly transferRear: number;
  /** Spin inertia of both wheels of an axle over r^2, kg */
  readonly spinFront: number;
  readonly spinRear: number;
  /** rho CdA/2 and rho ClA/2 split by axle, kg/m */
  readonly drag: number;
  readonly downFront: number;
  readonly downRear: number;
  readonly dragHeight: number;
  /** Headwind, m/s */
  readonly headwind: number;
  readonly driven: 'rear' | 'front' | 'all';
  readonly coupling: 'spool' | 'open' | 'limited';
  readonly biasRatio: number;
  /** Lateral load moved on the driven axle per newton of drive by a lengthwise shaft; 0 with a chain. */
  readonly shaftTransfer: number;
  /** Front share of braking force, 0 to 1 */
  readonly brakeShare: number;
}

/** The ground along a track, by station; see `place`. */
export interface GroundColumns {
  readonly lateralV: Float64Array;
  readonly lateralG: Float64Array;
  readonly normalV: Float64Array;
  readonly normalG: Float64Array;
  readonly sinGrade: Float64Array;
}

/** What stops x from growing or falling further. */
export const CONSTRAINT = { none: 0, front: 1, rear: 2, rollover: 3, frontLift: 4, rearLift: 5 } as const;
export type Constraint = (typeof CONSTRAINT)[keyof typeof CONSTRAINT];

export interface Envelope {
  /**
   * Sets speed and ground.
   * @param lateralV,lateralG side force per mass: lateralV v^2 + lateralG g
   * @param normalV,normalG load per mass: normalV v^2 + normalG g
   * @param sinGrade sine of the uphill slope
   */
  place(
    speed: number,
    lateralV: number,
    lateralG: number,
    normalV: number,
    normalG: number,
    sinGrade: number,
  ): void;
  /** As `place`, with the ground of a station. */
  placeOn(ground: GroundColumns, station: number, speed: number): void;
  /** Sum of resistances D + R + m g sin at force x, N. */
  resistance(x: number): number;
  /** Acceleration that force x gives, m/s2. */
  accelerationAt(x: number): number;
  /** Air drag at the placed speed, N. */
  dragForce(): number;
  /** Rolling resistance at force x, N. */
  rollingForce(x: number): number;
  /** Force x that holds the speed. */
  holdForce(): number;
  /** Contact force x that gives acceleration a. */
  forceFor(acceleration: number): number;
  /** Contact force x that drive force F at the wheels of a kart with effective mass M gives. */
  driveForce(wheelForce: number, effectiveMass: number): number;
  /** Contact force x with a closed throttle (drag E, engine's equivalent mass) and brake force B. */
  brakeForce(engine: number, engineMass: number, brake: number): number;
  /** Excess in N of the worst constraint while holding speed; feasible at or below 0. */
  holdExcess(engine: number, engineMass: number): number;
  /** Excess of the worst constraint at drive force x. */
  driveExcess(x: number): number;
  /** Excess of the worst constraint at braking force x (negative) with the engine's part E. */
  brakeExcess(x: number, engine: number, engineMass: number): number;
  /** Largest feasible x not above `from`; searches down from `from`, starting at `guess` if that is outside. */
  upperForce(from: number, guess: number): number;
  /** Smallest feasible x under the set balance, from `guess`. */
  lowerForce(engine: number, engineMass: number, guess: number): number;
  /** Braking force x at which the rear axle leaves the ground, N; -Infinity where none does. */
  rearLiftForce(): number;
  /** Constraint that was active in the last search or excess. */
  constraint(): Constraint;
  /** Writes vertical loads [front axle, rear axle, front inner, rear inner] at x into `out`. */
  loads(x: number, out: Float64Array): void;
  /** Writes adhesion used [front, rear] (1 = all) at x, driving or braking, into `out`. */
  use(x: number, braking: boolean, engine: number, engineMass: number, out: Float64Array): void;
  /** Longitudinal capacity [front, rear] in N at x with no side force, into `out`. */
  capacity(x: number, out: Float64Array): void;
}

const MAX_NEWTON = 40;
/** Newton stops at this excess, in newtons: 1e-8 m/s2 on a 300 kg kart, far below any step error. */
const EXCESS_TOLERANCE = 3e-6;
/**
 * After a Newton step this short, in newtons, no further look is taken: it leaves an excess of its square over
 * twice the side force, below 1e-4 N where a kart corners at all.
 */
const SHORT_STEP = 0.3;
/** Excess must change at least so fast with x for a Newton step, N/N. */
const LEAST_SLOPE = 1e-6;
/** An axle carrying less than this, in newtons, counts as lifted. */
const LIFTED = 1e-3;

// Slots of the working state; a typed array because assigning to captured numbers allocates.
const SIDE = 0;
const T0 = 1;
const TAU = 2;
const NF = 3;
const NR = 4;
const R0 = 5;
const RHO = 6;
const DRAG = 7;
const CLIMB = 8;
const EXCESS = 9;
const TOP = 10;
const WHICH = 11;
const CF = 12;
const CR = 13;
const DCF = 14;
const DCR = 15;
const DX = 16;
const DXC = 17;
const LIFT_F = 18;
const LIFT_R = 19;
const YF = 20;
const YR = 21;
const ROLL = 22;
const FIXED = 23;
const AT = 24;
const XF = 25;
const PF = 26;
const XR = 27;
const PR = 28;
const BRAKE = 29;
const BRAKE_SLOPE = 30;
const SLOTS = 31;

/** Prepares the envelope of one kart on one surface. */
export function gripEnvelope(kart: EnvelopeKart, front: AxleGrip, rear: AxleGrip): Envelope {
  const {
    mass,
    gravity,
    wheelbase,
    toFront,
    toRear,
    cgHeight,
    trackFront,
    trackRear,
    transferFront,
    transferRear,
  } = kart;
  const {
    spinFront,
    spinRear,
    drag,
    downFront,
    downRear,
    dragHeight,
    headwind,
    brakeShare,
    shaftTransfer,
    biasRatio,
  } = kart;
  const drivesFront = kart.driven === 'front';
  const drivesAll = kart.driven === 'all';
  const coupling = kart.coupling;
  const plainCoupling = coupling === 'spool' && shaftTransfer === 0;
  const spinAll = spinFront + spinRear;
  const hL = cgHeight / wheelbase;
  const sideFront = toRear / wheelbase;
  const sideRear = toFront / wheelbase;
  const halfTracks = (trackFront + trackRear) / 4;
  const halfInverse = 0.5 / halfTracks;
  const perMass = 1 / mass;
  const weight = mass * gravity;
  const perFront = transferFront / trackFront;
  const perRear = transferRear / trackRear;
  const perRoll = (transferFront + transferRear) / halfTracks;
  const dragLever = (dragHeight - cgHeight) / wheelbase;
  const rollFront = front.rolling;
  const rollRear = rear.rolling;
  const rollingGrows =
    front.rollingPerSpeed !== 0 ||
    front.rollingPerSpeedSquared !== 0 ||
    rear.rollingPerSpeed !== 0 ||
    rear.rollingPerSpeedSquared !== 0;
  const { slope: muF, fall: fallF, topLoad: topF, lateralRatio: rhoF } = front;
  const { slope: muR, fall: fallR, topLoad: topR, lateralRatio: rhoR } = rear;
  const s = new Float64Array(SLOTS);

  function place(
    v: number,
    lateralV: number,
    lateralG: number,
    normalV: number,
    normalG: number,
    sinGrade: number,
  ): void {
    s[SIDE] = Math.abs(mass * (lateralV * v * v + lateralG * gravity));
    s[NF] = mass * (normalV * v * v + normalG * gravity);
    s[CLIMB] = weight * sinGrade;
    settle(v);
  }

  function placeOn(ground: GroundColumns, i: number, v: number): void {
    const v2 = v * v;
    s[SIDE] = Math.abs(mass * (ground.lateralV[i]! * v2 + ground.lateralG[i]! * gravity));
    s[NF] = mass * (ground.normalV[i]! * v2 + ground.normalG[i]! * gravity);
    s[CLIMB] = weight * ground.sinGrade[i]!;
    settle(v);
  }

  /** Completes the state at speed v from side force (SIDE), load normal to the ground (NF) and CLIMB. */
  function settle(v: number): void {
    const u = v + headwind;
    const q = u * Math.abs(u);
    const D = drag * q;
    const normal = s[NF]!;
    const side = s[SIDE]!;
    const nf = normal * sideFront + downFront * q;
    const nr = normal * sideRear + downRear * q;
    let fF = rollFront;
    let fR = rollRear;
    if (rollingGrows) {
      fF *= 1 + v * (front.rollingPerSpeed + v * front.rollingPerSpeedSquared);
      fR *= 1 + v * (rear.rollingPerSpeed + v * rear.rollingPerSpeedSquared);
    }
    const differs = fR - fF;
    const rolling0 = fF * nf + fR * nr;
    let t0 = D * dragLever - rolling0 * hL;
    let tau = hL;
    if (differs !== 0) {
      const share = 1 / (1 + differs * hL);
      t0 *= share;
      tau *= share;
    }
    const rolling = rolling0 + differs * t0;
    const climb = s[CLIMB]!;
    s[T0] = t0;
    s[TAU] = tau;
    s[NF] = nf;
    s[NR] = nr;
    s[DRAG] = D;
    s[R0] = rolling;
    s[RHO] = differs * tau;
    s[LIFT_F] = side * perFront;
    s[LIFT_R] = side * perRear;
    s[YF] = side * sideFront;
    s[YR] = side * sideRear;
    s[ROLL] = side * perRoll;
    s[FIXED] = rolling + D + climb;
  }

  /** Axle capacities and their slopes against x, at loads Fz_f, Fz_r; `drive` adds shaft transfer. */
  function capacities(ff: number, fr: number, drive: number): void {
    const side = s[SIDE]!;
    const tau = s[TAU]!;
    const momentF = side * transferFront;
    const momentR = side * transferRear;
    let df = momentF / trackFront;
    let dr = momentR / trackRear;
    let ddf = 0;
    let ddr = 0;
    if (shaftTransfer !== 0 && drive > 0) {
      if (drivesFront) df += shaftTransfer * drive;
      else dr += shaftTransfer * drive;
      if (drivesFront) ddf = shaftTransfer;
      else ddr = shaftTransfer;
    }
    if (df > ff / 2) {
      dr += (momentF - (ff * trackFront) / 2) / trackRear;
      ddr += (tau * trackFront) / (2 * trackRear);
      df = ff / 2;
      ddf = -tau / 2;
      if (dr > fr / 2) {
        dr = fr / 2;
        ddr = tau / 2;
      }
    } else if (dr > fr / 2) {
      df += (momentR - (fr * trackRear) / 2) / trackFront;
      ddf -= (tau * trackRear) / (2 * trackFront);
      dr = fr / 2;
      ddr = tau / 2;
      if (df > ff / 2) {
        df = ff / 2;
        ddf = -tau / 2;
      }
    }
    if (ff <= 0) {
      s[CF] = muF * ff;
      s[DCF] = -muF * tau;
    } else if (ff / 2 + df <= topF) {
      s[CF] = muF * ff - fallF * (0.5 * ff * ff + 2 * df * df);
      s[DCF] = -(muF - fallF * ff) * tau - 4 * fallF * df * ddf;
    } else {
      const outer = muF * topF - fallF * topF * topF;
      const inner = Math.min(ff / 2 - df, topF);
      s[CF] = outer + inner * (muF - fallF * inner);
      s[DCF] = (muF - 2 * fallF * inner) * (-tau / 2 - ddf);
    }
    if (fr <= 0) {
      s[CR] = muR * fr;
      s[DCR] = muR * tau;
    } else if (fr / 2 + dr <= topR) {
      s[CR] = muR * fr - fallR * (0.5 * fr * fr + 2 * dr * dr);
      s[DCR] = (muR - fallR * fr) * tau - 4 * fallR * dr * ddr;
    } else {
      const outer = muR * topR - fallR * topR * topR;
      const inner = Math.min(fr / 2 - dr, topR);
      s[CR] = outer + inner * (muR - fallR * inner);
      s[DCR] = (muR - 2 * fallR * inner) * (tau / 2 - ddr);
    }
    s[DX] = drivesFront ? df : dr;
    s[DXC] = drivesFront ? ddf : ddr;
  }

  /**
   * Evaluates the worst excess at x = AT (direction 0), or runs by Newton's method to the upper (1) or lower (-1)
   * edge of the feasible forces from there, never above TOP. The contact forces are XF, XR with slopes PF, PR
   * against x. Leaves x, excess, slope and constraint in the state; false where the search did not settle.
   * Numbers come and go by slots because V8 boxes them as arguments; the loop works on locals.
   */
  function seek(driving: boolean, direction: number): boolean {
    const tau = s[TAU]!;
    const t0 = s[T0]!;
    const nf0 = s[NF]!;
    const nr0 = s[NR]!;
    const df = s[LIFT_F]!;
    const dr = s[LIFT_R]!;
    const yf = s[YF]!;
    const yr = s[YR]!;
    const yf2 = yf * yf;
    const yr2 = yr * yr;
    const turn = s[ROLL]!;
    const base = s[AT]!;
    const xf0 = s[XF]!;
    const xr0 = s[XR]!;
    const top = s[TOP]!;
    const shares = driving && drivesAll;
    const plain = plainCoupling || !driving;
    let pf = s[PF]!;
    let pr = s[PR]!;
    let x = base;
    let turned = direction > 0 && x === top;
    let excess = 0;
    let slope = 0;
    let which = 0;
    let settled = direction === 0;
    for (let i = 0; i < MAX_NEWTON; i++) {
      const T = t0 + tau * x;
      const ff = nf0 - T;
      const fr = nr0 + T;
      let uf = xf0 + pf * (x - base);
      let ur = xr0 + pr * (x - base);
      if (shares) {
        const share = ff / (nf0 + nr0);
        pf = share - (tau * x) / (nf0 + nr0);
        pr = 1 - pf;
        uf = share * x;
        ur = x - uf;
      }
      let cf: number;
      let cr: number;
      let dcf: number;
      let dcr: number;
      let rf = rhoF;
      let rr = rhoR;
      if (plain && 2 * df <= ff && 2 * dr <= fr && ff / 2 + df <= topF && fr / 2 + dr <= topR) {
        // All four wheels on the ground and below their load tops: both axles in closed form.
        cf = muF * ff - fallF * (0.5 * ff * ff + 2 * df * df);
        cr = muR * fr - fallR * (0.5 * fr * fr + 2 * dr * dr);
        dcf = -(muF - fallF * ff) * tau;
        dcr = (muR - fallR * fr) * tau;
      } else {
        capacities(ff, fr, driving ? x : 0);
        cf = s[CF]!;
        cr = s[CR]!;
        dcf = s[DCF]!;
        dcr = s[DCR]!;
        if (!plain) {
          const limited = drivenCapacity(drivesFront ? ff : fr);
          if (drivesFront || drivesAll) rf = limited;
          if (!drivesFront) rr = limited;
        }
      }
      uf *= rf;
      ur *= rr;
      const nf = Math.sqrt(uf * uf + yf2);
      const nr = Math.sqrt(ur * ur + yr2);
      const ef = nf - cf;
      const er = nr - cr;
      const roll = turn - (ff * trackFront + fr * trackRear) * halfInverse;
      if (ef >= er && ef >= roll) {
        excess = ef;
        slope = (nf > 0 ? (uf * rf * pf) / nf : Math.abs(rf * pf)) - dcf;
        which = ff <= LIFTED ? CONSTRAINT.frontLift : CONSTRAINT.front;
      } else if (er >= roll) {
        excess = er;
        slope = (nr > 0 ? (ur * rr * pr) / nr : Math.abs(rr * pr)) - dcr;
        which = fr <= LIFTED ? CONSTRAINT.rearLift : CONSTRAINT.rear;
      } else {
        excess = roll;
        slope = tau * (trackFront - trackRear) * halfInverse;
        which = CONSTRAINT.rollover;
      }
      if (direction === 0) break;
      const small = excess <= EXCESS_TOLERANCE && excess >= -EXCESS_TOLERANCE;
      if (direction > 0) {
        if (x === top && excess <= EXCESS_TOLERANCE) {
          settled = true;
          break;
        }
        if (slope > LEAST_SLOPE) {
          if (small) {
            settled = true;
            break;
          }
          const next = Math.min(top, x - excess / slope);
          const step = next - x;
          x = next;
          // (The slope of an open or limited axle leaves out how its capacity moves: look again there.)
          if (plain && step < SHORT_STEP && step > -SHORT_STEP && x < top) {
            settled = true;
            break;
          }
        } else {
          // The start lay towards the lower edge: begin again from above, where Newton runs to the upper one.
          if (turned) break;
          turned = true;
          x = top;
        }
      } else if (slope < -LEAST_SLOPE) {
        if (small) {
          settled = true;
          break;
        }
        const step = -excess / slope;
        x += step;
        if (step < SHORT_STEP && step > -SHORT_STEP) {
          settled = true;
          break;
        }
      } else {
        if (turned) break;
        turned = true;
        x = farBelow();
      }
    }
    s[AT] = x;
    s[EXCESS] = excess;
    s[WHICH] = which;
    return settled;
  }

  /** rho of the driven axle when its wheels are not locked together: lateral over drive capacity. */
  function drivenCapacity(load: number): number {
    const mu = drivesFront ? muF : muR;
    const fall = drivesFront ? fallF : fallR;
    const top = drivesFront ? topF : topR;
    const rho = drivesFront ? rhoF : rhoR;
    const all = drivesFront ? s[CF]! : s[CR]!;
    if (coupling === 'spool') return rho;
    const inner = Math.min(Math.max(load / 2 - s[DX]!, 0), top);
    const outer = Math.min(load / 2 + s[DX]!, top);
    const lesser = inner * (mu - fall * inner);
    const greater = outer * (mu - fall * outer);
    const capacity = coupling === 'open' ? 2 * lesser : lesser + Math.min(greater, biasRatio * lesser);
    return capacity > 1e-9 * all ? (rho * all) / capacity : rho * 1e9;
  }

  function rollingPlusDrag(x: number): number {
    return s[R0]! + s[RHO]! * x + s[DRAG]!;
  }

  /** Sets the contact forces of a drive with sum x. */
  function setDrive(x: number): void {
    const slip = 1 - s[RHO]!;
    const accel = (x * slip - s[FIXED]!) * perMass;
    const spin = drivesFront ? spinRear : spinFront;
    const slope = spin * slip * perMass;
    s[AT] = x;
    s[XF] = drivesFront ? x + spin * accel : -spin * accel;
    s[PF] = drivesFront ? 1 + slope : -slope;
    s[XR] = drivesFront ? -spin * accel : x + spin * accel;
    s[PR] = drivesFront ? -slope : 1 + slope;
  }

  /** Sets the contact forces while braking with sum x; true with brakes on, false with the throttle eased. */
  function setBrake(x: number, engine: number, engineMass: number): boolean {
    const slip = 1 - s[RHO]!;
    const decel = (s[FIXED]! - x * slip) * perMass;
    const decelSlope = -slip * perMass;
    const inertia = spinAll + engineMass;
    const brake = -x - engine + inertia * decel;
    const engineFront = drivesFront ? 1 : drivesAll ? 0.5 : 0;
    const brakeSlope = -1 + inertia * decelSlope;
    s[BRAKE] = brake;
    s[BRAKE_SLOPE] = brakeSlope;
    let xf: number;
    let pf: number;
    if (brake >= 0) {
      const spin = spinFront + engineFront * engineMass;
      xf = -(brakeShare * brake + engineFront * engine) + spin * decel;
      pf = -brakeShare * brakeSlope + spin * decelSlope;
    } else if (drivesAll) {
      xf = x / 2;
      pf = 0.5;
    } else {
      // Throttle eased: no brake, the driven axle carries what the resistances leave.
      xf = drivesFront ? x - spinRear * decel : spinFront * decel;
      pf = drivesFront ? 1 - spinRear * decelSlope : spinFront * decelSlope;
    }
    s[AT] = x;
    s[XF] = xf;
    s[PF] = pf;
    s[XR] = x - xf;
    s[PR] = 1 - pf;
    return brake >= 0;
  }

  function driveAt(x: number): void {
    setDrive(x);
    seek(true, 0);
  }

  function brakeAt(x: number, engine: number, engineMass: number): void {
    setBrake(x, engine, engineMass);
    seek(false, 0);
  }

  function driveForce(wheelForce: number, effectiveMass: number): number {
    const rho = s[RHO]!;
    const fixed = s[FIXED]!;
    if (rho === 0) return (mass * (wheelForce - fixed)) / effectiveMass + fixed;
    const accel = (wheelForce - fixed / (1 - rho)) / (effectiveMass + (rho * mass) / (1 - rho));
    return (mass * accel + fixed) / (1 - rho);
  }

  function lowerForce(engine: number, engineMass: number, guess: number): number {
    let x = guess;
    // The forces have a kink where the brakes come on: search again when the edge lies beyond it.
    for (let i = 0; i < 6; i++) {
      const braked = setBrake(x, engine, engineMass);
      if (!seek(false, -1)) break;
      const on = s[BRAKE]! + s[BRAKE_SLOPE]! * (s[AT]! - x) >= 0;
      x = s[AT]!;
      if (on === braked) return x;
    }
    return bisectLower(engine, engineMass);
  }

  const holdForce = (): number => (s[RHO] === 0 ? s[FIXED]! : s[FIXED]! / (1 - s[RHO]!));

  return {
    place,
    placeOn,
    accelerationAt: (x) => (x * (1 - s[RHO]!) - s[FIXED]!) * perMass,
    resistance: (x) => rollingPlusDrag(x) + s[CLIMB]!,
    dragForce: () => s[DRAG]!,
    rollingForce: (x) => s[R0]! + s[RHO]! * x,
    holdForce,
    forceFor: (a) => (mass * a + s[FIXED]!) / (1 - s[RHO]!),
    driveForce,
    brakeForce(engine, engineMass, brake) {
      // -x = B + E - J d with d = (fixed - x (1 - rho))/m, J the spinning inertia.
      const inertia = (spinAll + engineMass) / mass;
      const fixed = s[FIXED]!;
      return -(brake + engine - inertia * fixed) / (1 + inertia * (1 - s[RHO]!));
    },
    holdExcess(engine, engineMass) {
      const x = holdForce();
      if (x >= 0) driveAt(x);
      else brakeAt(x, engine, engineMass);
      return s[EXCESS]!;
    },
    driveExcess(x) {
      driveAt(x);
      return s[EXCESS]!;
    },
    brakeExcess(x, engine, engineMass) {
      brakeAt(x, engine, engineMass);
      return s[EXCESS]!;
    },
    upperForce(from, guess) {
      setDrive(Math.min(guess, from));
      s[TOP] = from;
      return seek(true, 1) ? s[AT]! : bisectUpper(from);
    },
    lowerForce,
    rearLiftForce: () => (s[TAU]! > 0 ? -(s[NR]! + s[T0]!) / s[TAU]! : Number.NEGATIVE_INFINITY),
    constraint: () => s[WHICH]! as Constraint,
    loads(x, out) {
      const T = s[T0]! + s[TAU]! * x;
      const ff = Math.max(0, s[NF]! - T);
      const fr = Math.max(0, s[NR]! + T);
      const side = s[SIDE]!;
      let df = (side * transferFront) / trackFront;
      let dr = (side * transferRear) / trackRear;
      if (df > ff / 2) {
        dr += ((df - ff / 2) * trackFront) / trackRear;
        df = ff / 2;
      } else if (dr > fr / 2) {
        df += ((dr - fr / 2) * trackRear) / trackFront;
        dr = fr / 2;
      }
      out[0] = ff;
      out[1] = fr;
      out[2] = Math.max(0, ff / 2 - df);
      out[3] = Math.max(0, fr / 2 - dr);
    },
    use(x, braking, engine, engineMass, out) {
      const split = axleForces(x, braking, engine, engineMass);
      const yf = s[SIDE]! * sideFront;
      const yr = s[SIDE]! * sideRear;
      const T = s[T0]! + s[TAU]! * x;
      capacities(s[NF]! - T, s[NR]! + T, braking ? 0 : x);
      let rf = rhoF;
      let rr = rhoR;
      if (!braking && !plainCoupling) {
        if (drivesFront || drivesAll) rf = drivenCapacity(drivesFront ? s[NF]! - T : s[NR]! + T);
        if (!drivesFront) rr = drivenCapacity(s[NR]! + T);
      }
      out[0] = ratioOf(Math.hypot(split[0]! * rf, yf), s[CF]!);
      out[1] = ratioOf(Math.hypot(split[1]! * rr, yr), s[CR]!);
    },
    capacity(x, out) {
      const T = s[T0]! + s[TAU]! * x;
      const side = s[SIDE]!;
      s[SIDE] = 0;
      capacities(s[NF]! - T, s[NR]! + T, 0);
      s[SIDE] = side;
      out[0] = Math.max(0, s[CF]! / rhoF);
      out[1] = Math.max(0, s[CR]! / rhoR);
    },
  };

  /** Contact forces [front, rear] at x. */
  function axleForces(x: number, braking: boolean, engine: number, engineMass: number): [number, number] {
    const fixed = s[FIXED]!;
    const accel = (x * (1 - s[RHO]!) - fixed) / mass;
    if (!braking) {
      if (drivesAll) {
        const share = (s[NF]! - s[T0]! - s[TAU]! * x) / (s[NF]! + s[NR]!);
        return [share * x, (1 - share) * x];
      }
      return drivesFront
        ? [x + spinRear * accel, -spinRear * accel]
        : [-spinFront * accel, x + spinFront * accel];
    }
    const brake = -x - engine - (spinAll + engineMass) * accel;
    const engineFront = drivesFront ? 1 : drivesAll ? 0.5 : 0;
    if (brake < 0) {
      const free = -(drivesFront ? spinRear : spinFront) * accel;
      if (drivesAll) return [x / 2, x / 2];
      return drivesFront ? [x - free, free] : [free, x - free];
    }
    const xf = -(brakeShare * brake + engineFront * engine) - (spinFront + engineFront * engineMass) * accel;
    return [xf, x - xf];
  }

  /** A braking force no tyre gives. */
  function farBelow(): number {
    return -4 * (muF + muR + 1) * (Math.abs(s[NF]!) + Math.abs(s[NR]!)) - Math.abs(holdForce());
  }

  /** Fallback where capacity is not concave (a wheel lifting): bisection from a force that fits. */
  function bisectUpper(from: number): number {
    driveAt(from);
    if (s[EXCESS]! <= EXCESS_TOLERANCE) return from;
    let low = holdForce();
    driveAt(low);
    if (s[EXCESS]! > EXCESS_TOLERANCE) {
      // Steady speed itself needs the brakes: look for the force that comes nearest to fitting.
      let left = Math.min(low, from);
      let right = from;
      for (let i = 0; i < 60; i++) {
        const third = (right - left) / 3;
        driveAt(left + third);
        const a = s[EXCESS]!;
        driveAt(right - third);
        if (a <= s[EXCESS]!) right -= third;
        else left += third;
      }
      driveAt(left);
      if (s[EXCESS]! > EXCESS_TOLERANCE) return low;
      low = left;
    }
    let high = from;
    for (let i = 0; i < 60; i++) {
      const x = (low + high) / 2;
      driveAt(x);
      if (s[EXCESS]! > 0) high = x;
      else low = x;
    }
    driveAt(high);
    return low;
  }

  function bisectLower(engine: number, engineMass: number): number {
    let high = holdForce();
    if (high >= 0) driveAt(high);
    else brakeAt(high, engine, engineMass);
    let low = farBelow() - engine;
    if (s[EXCESS]! > EXCESS_TOLERANCE) {
      // Not even steady speed fits: look for the force that comes nearest to fitting.
      let left = low;
      let right = Math.max(high, 0);
      for (let i = 0; i < 90; i++) {
        const third = (right - left) / 3;
        brakeAt(left + third, engine, engineMass);
        const a = s[EXCESS]!;
        brakeAt(right - third, engine, engineMass);
        if (a <= s[EXCESS]!) right -= third;
        else left += third;
      }
      brakeAt(left, engine, engineMass);
      return left;
    }
    for (let i = 0; i < 70; i++) {
      const x = (low + high) / 2;
      brakeAt(x, engine, engineMass);
      if (s[EXCESS]! > 0) low = x;
      else high = x;
    }
    brakeAt(low, engine, engineMass);
    return high;
  }
}

/** Grip used where there is none to use: a number a table can hold. */
const NO_GRIP = 99;

function ratioOf(force: number, capacity: number): number {
  if (capacity > 0) return Math.min(force / capacity, NO_GRIP);
  return force > 0 ? NO_GRIP : 0;
}
