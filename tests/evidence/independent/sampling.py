"""Sampling and distributions recomputed with SciPy: Sobol' points before scrambling, normal and truncated normal.

In: the places below. Out: sampling.json, read by tests/sim/numerics/{normal,sobol}.test.ts.

    python3 tests/evidence/independent/sampling.py
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy.stats import norm, qmc, truncnorm

DIMENSIONS = [0, 1, 2, 5, 20, 63, 100, 127]
PLACES = [1, 2, 3, 7, 31, 45, 63, 1000]
points = qmc.Sobol(128, scramble=False, bits=32).random(1024)
out = {
    "versions": {"scipy": scipy.__version__, "numpy": np.__version__},
    # SciPy walks the points in Gray-code order: its place k is the sequence's point k ^ (k >> 1).
    "sobol": {
        "dimensions": DIMENSIONS,
        "places": PLACES,
        "points": [[int(x * 2**32) for x in points[k][DIMENSIONS]] for k in PLACES],
    },
    "quantile": [[p, float(norm.ppf(p))] for p in (1e-300, 1e-20, 1e-9, 1e-4, 0.02, 0.1, 0.3, 0.5, 0.6, 0.85, 0.975, 0.9999)],
    "cdf": [[z, float(norm.cdf(z))] for z in (-37, -20, -8, -3, -2.5, -2.4, -1.5, -0.6, -0.2, 0, 0.3, 0.7, 1, 2.5, 5, 8)],
    "truncated": [
        [u, m, sd, a, b, float(truncnorm.ppf(u, (a - m) / sd, (b - m) / sd, loc=m, scale=sd))]
        for m, sd, a, b in ((0.9, 0.1, 0.3, 1), (1, 0.03, 0.2, 1), (5, 10, 0, 6), (0.02, 0.02, 0, 0.5))
        for u in (0.01, 0.3, 0.5, 0.9, 0.999)
    ],
}
Path(__file__).with_name("sampling.json").write_text(json.dumps(out, indent=1) + "\n")
