"""The smoothest and the fastest line of small strips, recomputed with SciPy.

In: the strips below (every number invented). Out: lines.json, read by tests/evidence/lines.test.ts, which asks our own
solver for the same. Nothing here is a port.

Smoothest: offsets of 1 m spaced points of the drawn line; curvature by SciPy's CubicSpline; least integral of squared
curvature by scipy.optimize.lsq_linear (bounded least squares) on the curvature linearised by finite differences, again
and again until the line stays.

Fastest: the same curve from offsets of points 2 m apart; a point mass with pull, brakes and side force inside a circle of
friction, forward and backward passes of its own; scipy.optimize.minimize on the lap time, L-BFGS-B with differences and
Powell after it, from the smoothest line and from four fifths of it.

    python3 tests/evidence/independent/lines.py
"""
import json
import math
import platform
from pathlib import Path

import numpy as np
import scipy
from scipy.interpolate import CubicSpline
from scipy.optimize import lsq_linear, minimize

G0 = 9.80665


def drawn(stretches, step):
    """Points of straights and arcs, with their normals, `step` apart."""
    xs, ys, hs, ss = [0.0], [0.0], [0.0], [0.0]
    for s in stretches:
        length = s["straight"] if "straight" in s else s["radius"] * s["angle"]
        k = 0.0 if "straight" in s else (1 if s["turn"] == "left" else -1) / s["radius"]
        n = max(1, round(length / step))
        d = length / n
        for _ in range(n):
            h = hs[-1]
            if k == 0:
                x, y = xs[-1] + d * math.cos(h), ys[-1] + d * math.sin(h)
            else:
                x = xs[-1] + (math.sin(h + k * d) - math.sin(h)) / k
                y = ys[-1] - (math.cos(h + k * d) - math.cos(h)) / k
            xs.append(x), ys.append(y), hs.append(h + k * d), ss.append(ss[-1] + d)
    return np.array(ss), np.array(xs), np.array(ys), np.array(hs)


def curve(s, x, y, h, n, at):
    """Curvature and speed |p'| at `at` of the spline through the offset points."""
    cx = CubicSpline(s, x - n * np.sin(h), bc_type="natural")
    cy = CubicSpline(s, y + n * np.cos(h), bc_type="natural")
    dx, dy, ddx, ddy = cx(at, 1), cy(at, 1), cx(at, 2), cy(at, 2)
    p = np.hypot(dx, dy)
    return (dx * ddy - dy * ddx) / p**3, p


def smoothest(stretches, room):
    s, x, y, h = drawn(stretches, 1.0)
    at = np.linspace(0, s[-1], 4 * (len(s) - 1) + 1)
    w = np.full(len(at), at[1] - at[0])
    w[0] = w[-1] = w[0] / 2

    def residuals(n):
        k, p = curve(s, x, y, h, n, at)
        return k * np.sqrt(w * p)

    n = np.zeros(len(s))
    best = np.sum(residuals(n) ** 2)
    for _ in range(40):
        r = residuals(n)
        J = np.empty((len(at), len(s)))
        for j in range(len(s)):
            e = np.zeros(len(s))
            e[j] = 1e-5
            J[:, j] = (residuals(n + e) - residuals(n - e)) / 2e-5
        d = lsq_linear(J, -r, bounds=(-room - n - 1e-12, room - n + 1e-12), tol=1e-14, max_iter=500).x
        share = 1.0
        while share > 1e-3 and np.sum(residuals(n + share * d) ** 2) >= best:
            share /= 2
        if share <= 1e-3:
            break
        now = np.sum(residuals(n + share * d) ** 2)
        n = n + share * d
        if best - now < 1e-9 * best:
            best = now
            break
        best = now
    return {"bending": float(best), "distance": s.tolist(), "offset": n.tolist()}


def fastest(stretches, room, mu, pull, v0):
    s, x, y, h = drawn(stretches, 2.0)
    at = np.linspace(0, s[-1], 4 * (len(s) - 1) + 1)
    a_max = mu * G0

    def time(n):
        k, p = curve(s, x, y, h, n, at)
        step = (p[1:] + p[:-1]) / 2 * (at[1] - at[0])
        k = np.abs(k)
        top = np.minimum(a_max / np.maximum(k, 1e-9), 60.0**2)
        y2 = np.empty(len(at))
        y2[-1] = top[-1]
        for i in range(len(at) - 2, -1, -1):
            spare = math.sqrt(max(0.0, a_max**2 - (y2[i + 1] * k[i + 1]) ** 2))
            guess = min(top[i], y2[i + 1] + 2 * step[i] * spare)
            there = math.sqrt(max(0.0, a_max**2 - (guess * k[i]) ** 2))
            y2[i] = min(top[i], y2[i + 1] + step[i] * (spare + there))
        v2 = min(y2[0], v0**2)
        t = 0.0
        for i in range(len(at) - 1):
            spare = math.sqrt(max(0.0, a_max**2 - (v2 * k[i]) ** 2))
            after = min(y2[i + 1], v2 + 2 * step[i] * min(pull, spare))
            t += 2 * step[i] / (math.sqrt(v2) + math.sqrt(after))
            v2 = after
        return t

    bounds = [(-room, room)] * len(s)
    smooth = smoothest(stretches, room)
    start = np.interp(s, smooth["distance"], smooth["offset"])
    tries = []
    for scale in (1.0, 0.8):
        n = scale * start
        for _ in range(1):
            n = minimize(time, n, method="L-BFGS-B", bounds=bounds, options=dict(maxiter=200, maxfun=6000)).x
            n = minimize(
                time, n, method="Powell", bounds=bounds, options=dict(maxiter=2, maxfev=1500, xtol=1e-3, ftol=1e-7)
            ).x
        tries.append(float(time(n)))
    return {"time": min(tries), "tries": tries, "drawn": time(np.zeros(len(s))), "smoothest": time(start)}


RIGHT = math.pi / 2
STRIPS = {
    "bend of 90 degrees": [{"straight": 40}, {"turn": "left", "angle": RIGHT, "radius": 15}, {"straight": 40}],
    "left and right": [
        {"straight": 30},
        {"turn": "left", "angle": 1.2, "radius": 18},
        {"straight": 12},
        {"turn": "right", "angle": 1.2, "radius": 18},
        {"straight": 30},
    ],
}

if __name__ == "__main__":
    room = 3.0
    out = {
        "versions": {"python": platform.python_version(), "numpy": np.__version__, "scipy": scipy.__version__},
        "room": room,
        "smoothest": [
            {"name": name, "stretches": strip, "expect": smoothest(strip, room)} for name, strip in STRIPS.items()
        ],
        "fastest": [
            {
                "name": name,
                "stretches": strip,
                "mu": 0.8,
                "pull": 3.0,
                "startSpeed": 15.0,
                "expect": fastest(strip, room, 0.8, 3.0, 15.0),
            }
            for name, strip in STRIPS.items()
        ],
    }
    Path(__file__).with_name("lines.json").write_text(json.dumps(out, indent=1) + "\n")
    for c in out["smoothest"]:
        print(c["name"], c["expect"]["bending"])
    for c in out["fastest"]:
        print(c["name"], c["expect"]["time"], c["expect"]["tries"], c["expect"]["drawn"])
