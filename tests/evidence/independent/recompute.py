"""Runs and laps recomputed from the equations of sim/MODEL.md with general-purpose solvers.

In: the cases below (small project files, every number invented). Out: results.json, read by
tests/evidence/independent.test.ts, which asks our own solver for the same numbers. Nothing here is a port:
motion is integrated by SciPy's DOP853 (Hairer, Norsett and Wanner) at a relative tolerance of 1e-11 with its own
event location, limits are roots found by Brent's method, curves are SciPy's PchipInterpolator and periodic
CubicSpline, lap times are Gauss-Legendre sums over the dense output between switching points.

    python3 tests/evidence/independent/recompute.py
"""
import json
import math
import platform
from bisect import bisect_right
from pathlib import Path

import numpy as np
import scipy
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.optimize import brentq, minimize_scalar

RTOL, ATOL = 1e-11, 1e-12
RPM = math.pi / 30
G0 = 9.80665
XTOL = dict(xtol=1e-14, rtol=8.9e-16, maxiter=200)


# ---------------------------------------------------------------- the model (sections 2 to 5 of sim/MODEL.md)


class Axle:
    """Two like wheels of one axle on one surface."""

    def __init__(self, grip, inertia, radius, use):
        self.lateral = grip.get("lateralPeak", grip["peak"]) * use
        self.ratio = grip.get("lateralPeak", grip["peak"]) / grip["peak"]
        self.slide_share = grip.get("sliding", grip["peak"]) / grip["peak"]
        self.sensitivity = grip["loadSensitivity"]
        self.reference = grip["referenceLoad"]
        rolling = grip["rolling"]
        self.f = lambda v: rolling["coefficient"] * (
            1 + rolling.get("perSpeed", 0) * v + rolling.get("perSpeedSquared", 0) * v * v
        )
        self.spin = 2 * inertia / radius**2

    def wheel(self, load):
        """Lateral capacity of one wheel: mu0 F (1 - s (F/F0 - 1)), flat beyond its top."""
        if load <= 0:
            return 0.0
        s, f0 = self.sensitivity, self.reference
        if s > 0:
            load = min(load, f0 * (1 + s) / (2 * s))
        return self.lateral * load * (1 - s * (load / f0 - 1))


class Kart:
    def __init__(self, project, surface="pad", lap=False):
        day = project["days"]["day"]
        chassis = project["chassis"]["frame"]
        donor = project["donors"]["engine"]
        kart = project["karts"]["kart"]
        scales = kart["weighed"]
        front, rear = (project["tyres"][kart["tyres"][end]] for end in ("front", "rear"))
        self.g = G0
        self.rho = day["density"]
        wind = day.get("wind", {"speed": 0})
        self.wind = wind["speed"] * (-1 if wind.get("along") == "with" else 1)
        self.m = sum(scales[k] for k in ("frontLeft", "frontRight", "rearLeft", "rearRight"))
        self.L = chassis["wheelbase"]
        self.b = self.L * (scales["frontLeft"] + scales["frontRight"]) / self.m
        self.a = self.L - self.b
        self.h = scales["cgHeight"]
        aero = chassis["aero"]
        self.cda, self.cla = aero["dragArea"], aero.get("downforceArea", 0)
        self.aero_front, self.ha = aero.get("downforceFrontShare", 0.5), aero.get("height", 0)
        self.tf, self.tr = chassis["track"]["front"], chassis["track"]["rear"]
        lam = chassis["roll"]["frontShare"]
        self.hf, self.hr = lam * self.h, (1 - lam) * self.h
        use = day.get("grip", {}).get(surface, 1) * (kart["driver"].get("gripUse", 1) if lap else 1)
        self.rf, self.r = front["rollOut"] / (2 * math.pi), rear["rollOut"] / (2 * math.pi)
        self.front = Axle(front["grip"][surface], front["inertia"], self.rf, use)
        self.rear = Axle(rear["grip"][surface], rear["inertia"], self.r, use)
        self.phi = project["brakes"]["brakes"]["frontShare"]
        # Engine
        rows = np.array(donor["torque"]["points"]["rows"], float)
        self.curve = PchipInterpolator(rows[:, 0] * RPM, rows[:, 1])
        self.n_low, self.n_top = rows[0, 0] * RPM, min(rows[-1, 0] * RPM, donor["revLimit"])
        self.inertia = donor["inertia"]
        final = kart["sprockets"]["rear"] / kart["sprockets"]["front"]
        chain = kart["chain"]["efficiency"]
        self.belt = donor.get("belt")
        if self.belt:
            self.low, self.high = (donor["primary"] * self.belt[k] * final for k in ("low", "high"))
            self.eta = donor["efficiency"] * self.belt["efficiency"] * chain
        else:
            self.gears = [donor["primary"] * gear * final for gear in donor["gears"]]
            self.eta = donor["efficiency"] * chain
        if "closedThrottle" in donor:
            closed = np.array(donor["closedThrottle"]["rows"], float)
            self.closed = PchipInterpolator(closed[:, 0] * RPM, closed[:, 1])
        self.up = None
        self.launch = donor.get("clutch", {}).get("launchSpeed")
        self.clutch = donor.get("clutch", {}).get("torque", math.inf)
        self.shift_at, self.shift_time = kart.get("shiftAt"), donor["shift"]["up"]

    # Forces that do not depend on how the tyres are used
    def drag(self, v):
        return 0.5 * self.rho * self.cda * (v + self.wind) * abs(v + self.wind)

    def thrust(self, gear, v):
        G = self.gears[gear]
        return float(self.curve(G * v / self.r)) * G * self.eta / self.r

    def drive_mass(self, gear):
        G = self.gears[gear]
        return self.m + self.front.spin + self.rear.spin + self.inertia * G * G * self.eta / self.r**2

    def overrun(self, gear, v):
        """Engine drag at the ground and the engine's equivalent mass on closed throttle."""
        G = self.gears[gear]
        return float(self.closed(G * v / self.r)) * G / (self.eta * self.r), self.inertia * G * G / (
            self.eta * self.r**2
        )

    def state(self, v, ax, road):
        """Axle loads, resistances and the tyre force sum x that goes with an acceleration."""
        kappa, kv, sin, bank = road
        cos, sb, cb = math.sqrt(1 - sin * sin), math.sin(bank), math.cos(bank)
        N = self.m * (self.g * cos * cb + v * v * (kv * cb - kappa * sb))
        Y = abs(self.m * (v * v * (kappa * cb + kv * sb) + self.g * cos * sb))
        q = 0.5 * self.rho * self.cla * (v + self.wind) * abs(v + self.wind)
        D = self.drag(v)
        # m ax = x - D - R - m g sin, so the load transfer needs no R of its own
        T = ((self.m * ax + self.m * self.g * sin) * self.h + D * self.ha) / self.L
        Ff = N * self.b / self.L + q * self.aero_front - T
        Fr = N * self.a / self.L + q * (1 - self.aero_front) + T
        R = self.front.f(v) * Ff + self.rear.f(v) * Fr
        resist = D + R + self.m * self.g * sin
        return Ff, Fr, Y, resist

    def capacity(self, Ff, Fr, Y):
        """Lateral capacities of both axles with lateral transfer; inner wheels may lift."""
        Mf, Mr = Y * self.hf, Y * self.hr
        lim_f, lim_r = max(Ff, 0) * self.tf / 2, max(Fr, 0) * self.tr / 2
        if Mf > lim_f:
            Mf, Mr = lim_f, Mr + Mf - lim_f
        elif Mr > lim_r:
            Mr, Mf = lim_r, Mf + Mr - lim_r
        wheels = lambda axle, F, M, t: axle.wheel(F / 2 + M / t) + axle.wheel(F / 2 - M / t)
        return wheels(self.front, Ff, Mf, self.tf), wheels(self.rear, Fr, Mr, self.tr)

    def margin(self, v, ax, road, xf_of):
        """Least of: unused front grip, unused rear grip, distance to tipping. `xf_of(resist)` splits the force."""
        Ff, Fr, Y, resist = self.state(v, ax, road)
        x = self.m * ax + resist
        Xf, Xr = xf_of(x, resist)
        Cf, Cr = self.capacity(Ff, Fr, Y)
        use_f = math.hypot(self.front.ratio * Xf, Y * self.b / self.L)
        use_r = math.hypot(self.rear.ratio * Xr, Y * self.a / self.L)
        tip = (Ff * self.tf + Fr * self.tr) / 2 / (self.hf + self.hr) - Y
        return min(Cf - use_f, Cr - use_r, tip, Ff, Fr)

    # Splits of the tyre force sum between the axles
    def driving(self, ax):
        """Rear drive: the front wheels only spin up."""
        return lambda x, resist: (-self.front.spin * ax, x + self.front.spin * ax)

    def holding(self):
        return lambda x, resist: (0.0, x) if x >= 0 else (self.phi * x, (1 - self.phi) * x)

    def braking(self, d, drag=0.0, mass=0.0):
        """Section 5: rear drive, B whatever is left of the demand."""

        def split(x, resist):
            B = (self.front.spin + self.rear.spin + mass) * d - drag - x
            return (
                -self.phi * B + self.front.spin * d,
                -((1 - self.phi) * B + drag) + (self.rear.spin + mass) * d,
            )

        return split

    def most_drive(self, v, road):
        """Largest acceleration the tyres allow with the rear axle driven."""
        g = lambda ax: self.margin(v, ax, road, self.driving(ax))
        # On a descent rolling free is already an acceleration: start there if it fits, or at steady speed, or
        # between them, where the margin (concave) is largest.
        free = -self.state(v, 0.0, road)[3] / self.m
        if free <= 0:
            return edge(g, 0.5)
        for start in (free, 0.0):
            if g(start) >= 0:
                return edge(g, 0.5, start)
        best = minimize_scalar(lambda ax: -g(ax), bounds=(0.0, free), method="bounded", options=dict(xatol=1e-12)).x
        # Where no drive fits, the speed is held with the brakes.
        return edge(g, 0.5, best) if g(best) > 0 else 0.0

    def crossing(self, k):
        """Road speed at which gear k + 1 pulls as hard as gear k, or the limiter of gear k."""
        top = self.n_top * self.r / self.gears[k]
        spare = lambda v: self.thrust(k, v) - self.thrust(k + 1, v)
        return top if spare(top) >= 0 else brentq(spare, 0.7 * top, top, **XTOL)

    def power(self, v, road):
        """Acceleration at full throttle, tyres apart, in the gear a driver without shift time is in."""
        if self.up is None:
            self.up = [self.crossing(k) for k in range(len(self.gears) - 1)]
        k = bisect_right(self.up, v)
        if self.gears[k] * v / self.r > self.n_top * (1 + 1e-12):
            return 0.0
        return self.with_force(v, self.thrust(k, v), self.drive_mass(k), road)

    def with_force(self, v, force, mass, road):
        """Solves M ax = force - resistances, linear in ax."""
        r0 = self.state(v, 0.0, road)[3]
        r1 = self.state(v, 1.0, road)[3]
        return (force - r0) / (mass + r1 - r0)

    def most_brake(self, v, road, drag=0.0, mass=0.0):
        """Largest deceleration with the set balance and both axles in their ellipses (positive)."""
        d0 = -self.with_force(v, -drag, self.m + self.front.spin + self.rear.spin + mass, road)  # B = 0
        g = lambda d: self.margin(v, -d, road, self.braking(d, drag, mass))
        if g(d0) <= 0:
            return d0
        return edge(g, 0.5, d0)

    def limit(self, road, cap):
        """First speed at which holding it (ax = 0) uses up the grip or tips; `cap` where there is none below."""
        g = lambda v: self.margin(v, 0.0, road, self.holding())
        step, v = 0.25, 0.25
        while v < cap:
            if g(v) < 0:
                return brentq(g, v - step, v, **XTOL)
            v += step
        return cap if g(cap) >= 0 else brentq(g, v - step, cap, **XTOL)


def edge(g, step, start=0.0):
    """The first root of g beyond `start`, g positive before it; steps back first if it is negative there."""
    a = start
    ga = g(a)
    if ga < 0:
        while ga < 0:
            if a < start - 100 * step:
                return start  # far beyond the limit speed, where only trial steps of the integrator look
            a -= step
            ga = g(a)
        return brentq(g, a, a + step, **XTOL)
    for _ in range(1000):
        if g(a + step) < 0:
            return brentq(g, a, a + step, **XTOL)
        a += step
    raise ValueError("edge: everything is feasible")


FLAT = (0.0, 0.0, 0.0, 0.0)


# ---------------------------------------------------------------- straight runs, over time


def phase(rhs, t, y, events):
    """One smooth phase of (s, v); ends at the first terminal event. Each event is (function, direction)."""
    wrapped = []
    for fun, direction in events:
        f = lambda t, y, fun=fun: fun(t, y)
        f.terminal, f.direction = True, direction
        wrapped.append(f)
    out = solve_ivp(
        lambda t, y: (y[1], rhs(t, y)), (t, t + 400), y, method="DOP853", rtol=RTOL, atol=ATOL, events=wrapped
    )
    which = next(i for i, e in enumerate(out.t_events) if len(e))
    return which, out.t[-1], out.y[:, -1], out


def accelerate(kart, grade, marks, to, gear=0, from_speed=0.0):
    """Launch, gears up at a set engine speed, to a distance. Returns passing time and speed at marks."""
    sin = grade / math.sqrt(1 + grade * grade)
    road = (0.0, 0.0, sin, 0.0)
    at = lambda v: max(v, 0.0)
    pulled = lambda v, F, M: min(kart.with_force(v, F, M, road), kart.most_drive(v, road))
    passed, shifts = {}, []
    t, y = 0.0, np.array([0.0, from_speed])
    rolling = kart.m + kart.front.spin + kart.rear.spin
    mode = "slip" if from_speed == 0 else "drive"
    locks = None
    goals = sorted(marks)
    while goals:
        stop = (lambda t, y: y[0] - goals[0], 1)
        if mode == "slip":
            G = kart.gears[gear]
            F = min(float(kart.curve(kart.launch)), kart.clutch) * G * kart.eta / kart.r
            rhs = lambda t, y: pulled(at(y[1]), F, rolling)
            end = (lambda t, y: y[1] * G / kart.r - kart.launch, 1)
        elif mode == "drive":
            G, M = kart.gears[gear], kart.drive_mass(gear)
            rhs = lambda t, y: pulled(at(y[1]), kart.thrust(gear, y[1]), M)
            end = (lambda t, y: y[1] * G / kart.r - kart.shift_at, 1)
            if gear == len(kart.gears) - 1:
                end = (lambda t, y: y[1] * G / kart.r - kart.n_top, 1)
        else:
            rhs = lambda t, y: kart.with_force(y[1], 0.0, rolling, road)
            until = t + kart.shift_time
            end = (lambda t, y: t - until, 1)
        # A switch between power and grip is a kink of the right-hand side: end phases there too.
        events = [stop, end]
        if mode != "shift":
            kink = lambda t, y: kart.with_force(at(y[1]), F if mode == "slip" else kart.thrust(gear, y[1]),
                                                rolling if mode == "slip" else M, road) - kart.most_drive(at(y[1]), road)
            events.append((kink, 0))
            if kink(t, y) == 0:
                raise RuntimeError("starts on a kink")
        which, t, y, _ = phase(rhs, t, y, events)
        if which == 0:
            passed[goals.pop(0)] = (t, y[1])
        elif which == 1 and mode == "slip":
            mode, locks = "drive", t
        elif which == 1 and mode == "drive":
            if gear == len(kart.gears) - 1:
                raise RuntimeError("reaches the limiter")
            shifts.append((t, y[1]))
            mode = "shift"
        elif which == 1:
            gear, mode = gear + 1, "drive"
        elif which == 2:  # nudge past the kink by one small exact-enough step
            dt = 1e-7
            a = rhs(t, y)
            y = np.array([y[0] + y[1] * dt + a * dt * dt / 2, y[1] + a * dt])
            t += dt
    return passed, shifts, locks


def belt_run(kart, from_speed, to):
    rolling = kart.m + kart.front.spin + kart.rear.spin
    n_out = kart.belt["shiftsOut"]
    t, y = 0.0, np.array([0.0, from_speed])
    stop = (lambda t, y: y[0] - to, 1)
    v1, v2 = n_out * kart.r / kart.low, n_out * kart.r / kart.high

    def fixed(G):
        M = rolling + kart.inertia * G * G * kart.eta / kart.r**2
        return lambda t, y: kart.with_force(
            y[1], float(kart.curve(G * y[1] / kart.r)) * G * kart.eta / kart.r, M, FLAT
        )

    held = lambda t, y: kart.with_force(
        y[1], float(kart.curve(n_out)) * n_out * kart.eta / y[1], rolling, FLAT
    )
    changes = []
    for rhs, v_end in ((fixed(kart.low), v1), (held, v2), (fixed(kart.high), kart.n_top * kart.r / kart.high)):
        which, t, y, _ = phase(rhs, t, y, [stop, (lambda t, y, v_end=v_end: y[1] - v_end, 1)])
        if which == 0:
            break
        changes.append((t, y[0], y[1]))
    return dict(time=t, speed=y[1], changes=changes)


def slow(rhs, v0, v1):
    which, t, y, _ = phase(lambda t, y: -rhs(y[1]), 0.0, np.array([0.0, v0]), [(lambda t, y: y[1] - v1, -1)])
    return dict(time=t, distance=y[0], speed=y[1])


def held_front_locked(kart, v, B, road=FLAT):
    """Front wheels locked and sliding, rear wheels turning: d from m d = -x + resistances."""

    def unbalance(d):
        Ff, Fr, Y, resist = kart.state(v, -d, road)
        Cf, Cr = kart.capacity(Ff, Fr, Y)
        peak_f = Cf / kart.front.ratio
        Xf = -peak_f * kart.front.slide_share
        Xr = -(1 - kart.phi) * B + kart.rear.spin * d
        locks = kart.phi * B - kart.front.spin * d > peak_f and -Xr < Cr / kart.rear.ratio
        return -kart.m * d - (Xf + Xr - resist), locks

    d = brentq(lambda d: unbalance(d)[0], 1.0, 15.0, **XTOL)
    assert unbalance(d)[1], "the front axle alone must lock"
    return d


# ---------------------------------------------------------------- laps, over distance


class Line:
    """Road over distance: cells between jumps and knots, each smooth; `road(s, cell)`."""

    def __init__(self, cells, karts):
        self.cells = cells  # list of (from, to, road function, surface)
        self.karts = karts
        self.length = cells[-1][1]


def spline_line(track, surfaces_kart):
    """Periodic cubic spline over chord length through the points; distance by quadrature of its speed."""
    pts = track["points"]
    ring = pts + pts[:1]
    xyz = np.array([[p["x"], p["y"], p.get("height", 0.0)] for p in ring])
    chord = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(xyz[:, :2], axis=0).T))])
    curve = CubicSpline(chord, xyz, bc_type="periodic")
    first, second = curve.derivative(1), curve.derivative(2)
    banks = [p.get("bank", 0.0) for p in ring]
    pace = lambda u: float(np.linalg.norm(first(u)))
    nodes, weights = np.polynomial.legendre.leggauss(60)

    def arc(a, b):
        return (b - a) / 2 * np.dot(weights, np.linalg.norm(first((a + b) / 2 + (b - a) / 2 * nodes), axis=1))

    cells, s = [], 0.0
    surface = track["surface"]
    for i in range(len(pts)):
        surface = pts[i].get("surface", surface)
        u0, u1 = chord[i], chord[i + 1]
        length = float(arc(u0, u1))
        assert abs(quad(pace, u0, u1, epsabs=1e-13, epsrel=1e-13, limit=200)[0] - length) < 1e-10

        def road(s, s0=s, length=length, u0=u0, u1=u1, b0=banks[i], b1=banks[i + 1]):
            u = u0 + (u1 - u0) * (s - s0) / length
            for _ in range(20):  # Newton on arc length
                step = (float(arc(u0, u)) - (s - s0)) / pace(u)
                u -= step
                if abs(step) < 1e-12:
                    break
            d, dd = first(u), second(u)
            plan = math.hypot(d[0], d[1])
            full2 = d[0] ** 2 + d[1] ** 2 + d[2] ** 2
            kappa = (d[0] * dd[1] - d[1] * dd[0]) / plan**3
            cos2 = plan * plan / full2
            # gamma = atan2(z', plan); d(gamma)/du = (plan z'' - z' plan')/(plan^2 + z'^2); ds = sqrt(full2) du
            dplan = (d[0] * dd[0] + d[1] * dd[1]) / plan
            kv = (plan * dd[2] - d[2] * dplan) / full2 / math.sqrt(full2)
            return (kappa * cos2, kv, d[2] / math.sqrt(full2), b0 + (b1 - b0) * (u - u0) / (u1 - u0))

        cells.append((s, s + length, road, surface))
        s += length
    return Line(cells, surfaces_kart)


def stretch_line(track, surfaces_kart):
    cells, s = [], 0.0
    for piece in track["stretches"]:
        kappa = 0.0 if "straight" in piece else (1 if piece["turn"] == "left" else -1) / piece["radius"]
        grade = piece.get("grade", 0.0)
        plan_cos = 1 / math.sqrt(1 + grade * grade)
        length = piece["straight"] if "straight" in piece else piece["radius"] * piece["angle"] / plan_cos
        road = (kappa * plan_cos**2, 0.0, grade * plan_cos, piece.get("bank", 0.0))
        cells.append((s, s + length, lambda s, road=road: road, piece.get("surface", track["surface"])))
        s += length
    return Line(cells, surfaces_kart)


def lap(line, cap, engine=None):
    """Flying lap. Limit speed by Brent, backward and forward integration of y = v^2, their lowest, its time."""
    cells = line.cells
    count = len(cells)
    kart_of = [line.karts[c[3]] for c in cells]

    def y_limit(i, s):
        return kart_of[i].limit(cells[i][2](s), cap) ** 2

    def decel(i, s, y):
        v = math.sqrt(y)
        k, road = kart_of[i], cells[i][2](s)
        if engine is None:
            return k.most_brake(v, road)
        return k.most_brake(v, road, *k.overrun(0, v))

    def accel(i, s, y):
        v = math.sqrt(y)
        k, road = kart_of[i], cells[i][2](s)
        return min(k.power(v, road), k.most_drive(v, road))

    def slope(f, s, a, b):
        """df/ds by a fourth-order difference inside the cell."""
        h = min(2e-3, (b - a) / 100)
        c = min(max(s, a + 2 * h), b - 2 * h)
        return (f(c - 2 * h) - 8 * f(c - h) + 8 * f(c + h) - f(c + 2 * h)) / (12 * h)

    def sweep(i, sign, y, ceiling, rate, grid=40):
        """Through one cell in direction `sign`; y' = 2 rate below the ceiling, along the ceiling where it can be
        followed. Returns pieces [(a, b, function)] and the end value."""
        a, b = cells[i][0], cells[i][1]
        begin, end = (a, b) if sign > 0 else (b, a)
        s, pieces = begin, []
        top = ceiling(s)
        y = min(y, top)
        riding = y >= top * (1 - 1e-13)
        # Can the ceiling be followed from s on?
        hop = 1e-7
        spare = lambda q: 2 * rate(i, q, ceiling(q)) - sign * slope(ceiling, q, a, b)
        while (end - s) * sign > 1e-12:
            if riding:
                if spare(s) < -1e-9 * max(1.0, ceiling(s)):
                    riding = False
                    continue
                marks = np.linspace(s, end, grid + 1)
                leave = None
                for p, q in zip(marks[:-1], marks[1:]):
                    if spare(q) < -1e-9 * max(1.0, ceiling(q)):
                        leave = brentq(spare, p, q, xtol=1e-11) if spare(p) > 0 else p
                        break
                stop = end if leave is None else leave
                if (stop - s) * sign > 0:
                    pieces.append((min(s, stop), max(s, stop), ceiling))
                s, y = stop, ceiling(stop)
                riding = leave is None
            else:
                over = lambda q, Y: Y[0] - ceiling(q)
                over.terminal, over.direction = True, 1
                sol = solve_ivp(lambda q, Y: [sign * 2 * rate(i, q, Y[0])], (s, end), [y], method="DOP853",
                                rtol=RTOL, atol=1e-11, events=over, dense_output=True, max_step=abs(b - a) / 4)
                stop = sol.t[-1]
                dense = sol.sol
                if abs(stop - s) < 1e-10 and stop != end:
                    # Riding and leaving cannot be told apart here: ride a little further, then look again.
                    hop *= 2
                    stop = s + sign * min(hop, abs(end - s))
                    pieces.append((min(s, stop), max(s, stop), ceiling))
                    s, y, riding = stop, ceiling(stop), True
                    continue
                hop = 1e-7
                if (stop - s) * sign > 0:
                    pieces.append((min(s, stop), max(s, stop), lambda q, dense=dense: float(dense(q)[0])))
                s, y = stop, float(sol.y[0, -1])
                riding = len(sol.t_events[0]) > 0
        return sorted(pieces, key=lambda p: p[0]), y

    # Lowest limit of all: there the backward pass is on the limit whatever came before.
    lowest = min(
        ((y_limit(i, s), i) for i, c in enumerate(cells) for s in np.linspace(c[0], c[1], 41)), key=lambda p: p[0]
    )[1]
    back = [None] * count
    y = y_limit((lowest + 1) % count, cells[(lowest + 1) % count][0])
    for turn in (0, 1):
        for k in range(count):
            i = (lowest - k) % count
            back[i], y = sweep(i, -1, y, lambda s, i=i: y_limit(i, s), decel)

    def ceiling_of(i):
        pieces = back[i]
        starts = [p[0] for p in pieces]
        return lambda s: pieces[max(0, bisect_right(starts, s) - 1)][2](s)

    both = [None] * count
    y = math.inf
    for turn in (0, 1):
        for k in range(count):
            i = (lowest + k) % count
            # The forward pass breaks where the backward one did.
            parts, whole = [], cells[i]
            for p in back[i]:
                cells[i] = (p[0], p[1], whole[2], whole[3])
                got, y = sweep(i, 1, y, p[2], accel)
                parts += got
            cells[i] = whole
            both[i] = parts

    nodes, weights = np.polynomial.legendre.leggauss(16)
    time, length = 0.0, cells[-1][1]
    for i, parts in enumerate(both):
        for a, b, f in parts:
            n = max(1, math.ceil((b - a) / 0.5))
            for j in range(n):
                p, q = a + (b - a) * j / n, a + (b - a) * (j + 1) / n
                mid, half = (p + q) / 2, (q - p) / 2
                vs = [math.sqrt(f(mid + half * x)) for x in nodes]
                time += half * sum(w / v for w, v in zip(weights, vs))
    probes = []
    for s in np.linspace(0, length, 24, endpoint=False) + length / 48:
        i = next(j for j, c in enumerate(cells) if c[0] <= s <= c[1])
        piece = next(p for p in both[i] if p[0] - 1e-12 <= s <= p[1] + 1e-12)
        probes.append((float(s), math.sqrt(piece[2](s)), math.sqrt(y_limit(i, s))))
    return dict(time=time, length=length, probes=probes)


# ---------------------------------------------------------------- the cases (every number invented)


def grip(peak, **more):
    return {"peak": peak, "loadSensitivity": 0.08, "referenceLoad": 750, "rolling": {"coefficient": 0.025, "perSpeed": 0.004}, **more}


def project(**change):
    """A kart, weighed, with a three-speed engine; `change` replaces parts by path."""
    base = {
        "kartwright": 1,
        "note": "Invented numbers for an outside recomputation; no real kart.",
        "days": {"day": {"name": "Test day", "density": 1.19}},
        "surfaces": {"pad": {"name": "Pad", "kind": "hard"}, "dirt": {"name": "Dirt", "kind": "packed"}},
        "tyres": {
            "front": {"name": "Front", "rollOut": 1.5, "inertia": 0.11,
                      "grip": {"pad": grip(0.95, lateralPeak=0.9, sliding=0.75), "dirt": grip(0.6, sliding=0.62)}},
            "rear": {"name": "Rear", "rollOut": 1.62, "inertia": 0.19,
                     "grip": {"pad": grip(0.98, lateralPeak=0.93, sliding=0.78), "dirt": grip(0.63, sliding=0.64)}},
        },
        "donors": {
            "engine": {
                "name": "Engine", "strokes": 4, "displacement": 4.5e-4,
                "torque": {"at": "crank", "points": {"columns": ["rpm", "N·m"],
                           "rows": [[1200, 26], [3000, 34], [5000, 41], [6500, 40], [8000, 35], [9500, 25]]}},
                "closedThrottle": {"columns": ["rpm", "N·m"], "rows": [[800, 6], [4000, 9], [9500, 17]]},
                "idle": 1500 * RPM, "revLimit": 9500 * RPM, "safeRev": 10000 * RPM, "inertia": 0.012,
                "primary": 2.2, "gears": [2.5, 1.7, 1.25], "shift": {"up": 0.22, "down": 0.2},
                "clutch": {"torque": 70, "launchSpeed": 4200 * RPM}, "efficiency": 0.95, "mass": 40,
            }
        },
        "chassis": {
            "frame": {
                "name": "Frame", "mass": 100, "cg": {"behindFrontAxle": 0.8, "height": 0.3},
                "donorAt": {"behindFrontAxle": 1.1, "height": 0.35}, "driverAt": {"behindFrontAxle": 0.8, "height": 0.45},
                "wheelbase": 1.62, "track": {"front": 1.16, "rear": 1.1}, "roll": {"frontShare": 0.56},
                "aero": {"dragArea": 0.75, "height": 0.52}, "driven": "rear", "coupling": "spool",
            }
        },
        "brakes": {"brakes": {"name": "Brakes", "frontShare": 0.62}},
        "karts": {
            "kart": {
                "name": "Kart", "chassis": "frame", "donor": "engine", "brakes": "brakes",
                "tyres": {"front": "front", "rear": "rear"}, "driver": {"mass": 80},
                "sprockets": {"front": 14, "rear": 40}, "chain": {"efficiency": 0.97}, "shiftAt": 8600 * RPM,
                "weighed": {"frontLeft": 66, "frontRight": 66, "rearLeft": 84, "rearRight": 84, "cgHeight": 0.37},
            }
        },
    }
    for path, value in change.items():
        *parents, leaf = path.split("__")
        place = base
        for key in parents:
            place = place[key]
        if value is None:
            place.pop(leaf, None)
        else:
            place[leaf] = value
    return base


BLOB = [(0, 0), (38, -6), (70, 8), (74, 36), (48, 44), (34, 62), (8, 60), (-14, 34)]


def build_cases():
    cases = []

    def case(name, project, request, expect):
        print(name, json.dumps({k: v for k, v in expect.items() if k not in ("probes",)})[:300], flush=True)
        cases.append(dict(name=name, project=project, request=request, expect=expect))

    who = dict(kart="kart", day="day", surface="pad")
    # 1 launch, grip limit, three gears, shifts, drag, rolling resistance, grade
    for grade in (0.0, 0.04):
        p = project()
        passed, shifts, locks = accelerate(Kart(p), grade, [50.0, 100.0, 200.0], 200.0)
        case(f"from rest through three gears, grade {grade}", p,
             dict(verb="accelerate", **who, options=dict(grade=grade, toDistance=200)),
             dict(marks={str(int(k)): v for k, v in passed.items()}, shifts=shifts, clutchLocksAt=locks))
    # 2 belt drive
    p = project(donors__engine__gears=None, donors__engine__belt=dict(
        low=2.0, high=0.75, engages=1800 * RPM, shiftsOut=6000 * RPM, efficiency=0.82))
    p["karts"]["kart"].pop("shiftAt")
    case("belt drive from a roll", p,
         dict(verb="accelerate", **who, options=dict(fromSpeed=4, toDistance=200)), belt_run(Kart(p), 4.0, 200.0))
    # 3 threshold braking
    p = project()
    k = Kart(p)
    case("threshold, clutch in", p, dict(verb="brake", **who, options=dict(fromSpeed=25, toSpeed=2)),
         slow(lambda v: k.most_brake(v, FLAT), 25.0, 2.0))
    case("threshold, engine in second gear", p,
         dict(verb="brake", **who, options=dict(fromSpeed=24, toSpeed=8, engine="in gear", gear=2)),
         slow(lambda v: k.most_brake(v, FLAT, *k.overrun(1, v)), 24.0, 8.0))
    down = (0.0, 0.0, -0.06 / math.sqrt(1 + 0.06**2), 0.0)
    case("threshold, downhill 6 %", p, dict(verb="brake", **who, options=dict(fromSpeed=25, toSpeed=2, grade=-0.06)),
         slow(lambda v: k.most_brake(v, down), 25.0, 2.0))
    # 4 held pedal with the front axle locked; closed throttle without brakes; coast-down
    B = 3000.0
    p = project(brakes__brakes__frontShare=0.75)
    k = Kart(p)
    case("held, front axle locked", p,
         dict(verb="brake", **who, options=dict(fromSpeed=22, toSpeed=1, brakes="held", brakeForce=B)),
         slow(lambda v: held_front_locked(k, v, B), 22.0, 1.0))
    p = project()
    k = Kart(p)
    rolling = k.m + k.front.spin + k.rear.spin
    case("closed throttle in second gear", p,
         dict(verb="brake", **who, options=dict(fromSpeed=20, toSpeed=8, brakes="none", engine="in gear", gear=2)),
         slow(lambda v: -k.with_force(v, -k.overrun(1, v)[0], rolling + k.overrun(1, v)[1], FLAT), 20.0, 8.0))
    case("coast-down, clutch in", p, dict(verb="brake", **who, options=dict(fromSpeed=25, toSpeed=3, brakes="none")),
         slow(lambda v: -k.with_force(v, 0.0, rolling, FLAT), 25.0, 3.0))
    wind = {"name": "Test day", "density": 1.19, "wind": {"speed": 6, "along": "with"}}
    p = project(days__day=wind)
    w = Kart(p)
    case("coast-down with the wind, below its speed", p,
         dict(verb="brake", **who, options=dict(fromSpeed=20, toSpeed=3, brakes="none")),
         slow(lambda v: -w.with_force(v, 0.0, rolling, FLAT), 20.0, 3.0))
    # Steady corners: plain, banked with wheels past the top of their load curve, front wheel lifted, tipping
    steep = dict(loadSensitivity=0.5, referenceLoad=600)
    corners = [
        ("steady corner", project(), 14.0, 0.0, 0.0),
        ("steady corner, outer wheels beyond their best load", project(
            tyres__front__grip__pad=grip(0.9, **steep), tyres__rear__grip__pad=grip(0.9, **steep)), 20.0, 0.15, 0.05),
        ("steady corner on a lifted front wheel", project(
            karts__kart__weighed__cgHeight=0.5, chassis__frame__roll__frontShare=0.85), 16.0, 0.0, 0.0),
        ("steady corner that tips", project(
            karts__kart__weighed__cgHeight=0.62, tyres__front__grip__pad=grip(1.35), tyres__rear__grip__pad=grip(1.35)),
         15.0, 0.0, 0.0),
    ]
    for name, p, radius, bank, grade in corners:
        cos2 = 1 / (1 + grade * grade)
        kart = Kart(p)
        v = kart.limit((cos2 / radius, 0.0, grade * math.sqrt(cos2), -bank), 60.0)
        case(name, p, dict(verb="corner", **who, options=dict(radius=radius, bank=bank, grade=grade)), dict(speed=v))
    # 5 lap of a spline, one gear, the clutch dipped under braking
    one = dict(donors__engine__gears=[1.7], karts__kart__shiftAt=None, donors__engine__shift={"up": 0, "down": 0})
    options = dict(start="flying", engineBraking="never")
    base = dict(verb="lap", kart="kart", day="day", track="track", options=options)

    def karts(p):
        return {s: Kart(p, s, lap=True) for s in p["surfaces"]}

    track = dict(name="Invented loop", closed=True, surface="pad", points=[dict(x=x, y=y) for x, y in BLOB])
    p = project(**one, tracks={"track": track})
    ks = karts(p)
    top = ks["pad"].n_top * ks["pad"].r / ks["pad"].gears[0]
    case("spline lap, one gear", p, base, lap(spline_line(track, ks), top))
    p = project(**{**one, "donors__engine__gears": [2.5, 1.7]}, tracks={"track": track})
    ks = karts(p)
    case("spline lap, two gears without shift time", p, base, lap(spline_line(track, ks), top))
    # 6 oval of stretches, engine braking always, tyres of less friction so that the engine matters
    oval = dict(name="Invented oval", closed=True, surface="pad", stretches=[
        dict(straight=90), dict(turn="left", angle=math.pi, radius=18), dict(straight=90),
        dict(turn="left", angle=math.pi, radius=18)])
    p = project(**one, tracks={"track": oval})
    ks = karts(p)
    case("oval, engine braking always", p, {**base, "options": dict(start="flying", engineBraking="always")},
         lap(stretch_line(oval, ks), top, engine=0))
    # 7 hills, bank, two surfaces, downforce
    hills = [0, 2.2, 4, 3, 1, -1.5, -3, -1.2]
    banks = [0.0, -0.04, -0.09, -0.06, 0.03, 0.0, -0.05, -0.02]
    track = dict(name="Invented hill", closed=True, surface="pad",
                 points=[dict(x=x, y=y, height=z, bank=b) for (x, y), z, b in zip(BLOB, hills, banks)])
    track["points"][0]["surface"] = "pad"
    track["points"][3]["surface"] = "dirt"
    track["points"][6]["surface"] = "pad"
    p = project(**one, tracks={"track": track})
    p["chassis"]["frame"]["aero"].update(downforceArea=0.5, downforceFrontShare=0.4)
    case("hill with bank, downforce and two surfaces", p, base, lap(spline_line(track, karts(p)), top))
    return cases


def main():
    out = dict(
        note="Written by recompute.py; every input is invented.",
        versions=dict(python=platform.python_version(), numpy=np.__version__, scipy=scipy.__version__),
        tolerances=dict(rtol=RTOL, atol=ATOL),
        cases=build_cases(),
    )
    path = Path(__file__).with_name("results.json")
    path.write_text(json.dumps(out, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
