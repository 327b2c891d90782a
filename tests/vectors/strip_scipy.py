"""Independent results for the strip's joint fit and for unmixing, by SciPy; writes strip_scipy.json beside it.

Made with Python 3, NumPy 2.4.6 and SciPy 1.17.1:  python3 tests/vectors/strip_scipy.py
The joint fit here searches every parameter at once, heights too (scipy.optimize.least_squares, trust region reflective), on shapes from
scipy.stats.exponnorm; nothing of it is shared with the program that it checks.
"""

import json
import platform
from pathlib import Path

import numpy as np
import scipy
from scipy.optimize import least_squares, nnls
from scipy.stats import exponnorm, norm

BIN_MM = 0.34
NOISE = 0.003
# mean, standard deviation, tail over standard deviation (negative: towards the origin), density of three channels as a Gaussian's top
CASES = {
    "two apart": [(14.0, 1.6, 0.0, (0.5, 0.2, 0.05)), (30.0, 2.1, 0.0, (0.05, 0.4, 0.3))],
    "two that overlap, one with a tail": [(16.0, 1.5, 0.0, (0.5, 0.2, 0.05)), (20.0, 1.8, -0.7, (0.06, 0.5, 0.2))],
    "three, tails both ways": [
        (10.0, 1.2, 0.6, (0.1, 0.1, 0.6)),
        (18.0, 2.0, -0.8, (0.6, 0.3, 0.1)),
        (27.0, 1.7, -0.4, (0.1, 0.6, 0.4)),
    ],
    "four": [
        (9.0, 1.3, 0.0, (0.3, 0.1, 0.02)),
        (14.0, 1.6, -0.5, (0.02, 0.35, 0.15)),
        (21.0, 1.9, 0.0, (0.02, 0.1, 0.5)),
        (27.0, 1.5, -0.6, (0.4, 0.3, 0.2)),
    ],
}
BINS = 110


def shape(x, mean, sd, drag):
    """Scaled so that a Gaussian's top is 1: area sd * sqrt(2 pi)."""
    area = sd * np.sqrt(2 * np.pi)
    q = abs(drag)
    if q < 1e-9:
        return area * norm.pdf(x, mean, sd)
    tau, sigma = q * sd, sd * np.sqrt(1 - q * q)
    away = x if drag > 0 else 2 * mean - x
    return area * exponnorm.pdf(away, tau / sigma, mean - tau, sigma)


def joint_fit(x, data, start, dragged):
    n = len(start)

    def unpack(p):
        rows = p.reshape(n, 6)
        return [(m, np.exp(s), d if free else 0.0, h) for (m, s, d, *h), free in zip(rows, dragged)]

    def residuals(p):
        model = np.zeros_like(data)
        for mean, sd, drag, heights in unpack(p):
            model += np.outer(heights, shape(x, mean, sd, drag))
        return ((model - data) / NOISE).ravel()

    first = np.concatenate([[m, np.log(s), 0.1 * np.sign(d), *h] for m, s, d, h in start])
    low = np.tile([0.0, np.log(0.35), -0.95, 0.0, 0.0, 0.0], n)
    high = np.tile([40.0, np.log(6.0), 0.95, 5.0, 5.0, 5.0], n)
    found = least_squares(residuals, first, bounds=(low, high), xtol=1e-12, ftol=1e-12, gtol=1e-12, max_nfev=2000)
    return [
        {"mean": float(m), "sd": float(s), "drag": float(d), "heights": [float(v) for v in h]}
        for m, s, d, h in unpack(found.x)
    ], float(2 * found.cost)


def main():
    random = np.random.default_rng(20240611)
    x = np.arange(BINS) * BIN_MM
    fits = []
    for name, bands in CASES.items():
        data = sum(np.outer(h, shape(x, m, s, d)) for m, s, d, h in bands)
        data = np.round(data + NOISE * random.standard_normal(data.shape), 6)
        start = [(m + 0.4, 1.2 * s, d, tuple(0.7 * v + 0.01 for v in h)) for m, s, d, h in bands]
        dragged = [d != 0 for _, _, d, _ in bands]
        components, chi2 = joint_fit(x, data, start, dragged)
        fits.append(
            {"name": name, "dragged": dragged, "density": data.tolist(), "components": components, "chi2": chi2}
        )
    unmixed = []
    for n in (1, 2, 3, 4, 6):
        for _ in range(4):
            a = np.round(random.uniform(0, 1, (3, n)), 6)
            b = np.round(a @ np.maximum(0, random.normal(0.3, 0.6, n)) + 0.02 * random.standard_normal(3), 6)
            amounts, left = nnls(a, b)
            unmixed.append({"a": a.tolist(), "b": b.tolist(), "x": amounts.tolist(), "residual": float(left)})
    result = {
        "made": {
            "script": "strip_scipy.py",
            "python": platform.python_version(),
            "numpy": np.__version__,
            "scipy": scipy.__version__,
        },
        "binMm": BIN_MM,
        "noise": NOISE,
        "fits": fits,
        "nnls": unmixed,
    }
    Path(__file__).with_suffix(".json").write_text(json.dumps(result, indent=1) + "\n")


if __name__ == "__main__":
    main()
