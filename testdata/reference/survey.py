"""Front corners found from tape, floor and height readings, by a general-purpose solver: writes survey.json.

Run with python3, numpy and scipy: python3 survey.py > survey.json

scipy.optimize.least_squares finds the coordinates from numerical differences, started at the true points; covariance,
redundancy and standardised residuals follow from numpy's inverse of the normal matrix. Nothing of the method under
test is used. The vehicle's axes are reached by another way, too: the unknowns are free places on the floor, and the
wheel centres' line gives the axes only afterwards, for readings "along" and "across" too.

Axes: x forward, y left, z up; metres. A right point is written with its own, negative y.
"""
import json
import sys

import numpy as np
from scipy.optimize import least_squares

rng = np.random.default_rng(20261127)
CASES = 6
BASE = {
    "UpperFront": [0.105, 0.432, 0.632], "UpperRear": [-0.135, 0.440, 0.606], "UpperBall": [-0.014, 0.672, 0.640],
    "LowerFront": [0.205, 0.318, 0.262], "LowerRear": [-0.195, 0.330, 0.270], "LowerBall": [0.012, 0.742, 0.244],
    "TieInner": [0.148, 0.350, 0.302], "TieOuter": [0.146, 0.716, 0.290], "WheelCentre": [0.0, 0.806, 0.384],
}
SIGMA = {"tape": 0.002, "floor": 0.002, "height": 0.001, "along": 0.002, "across": 0.002}


def frame(p):
    """Origin and axes that the wheel centres' plumb marks give."""
    l, r = np.array(p["WheelCentre"][:2]), np.array(p["Right.WheelCentre"][:2])
    y = (l - r) / np.linalg.norm(l - r)
    return (l + r) / 2, np.array([y[1], -y[0]]), y


def read(kind, a, b, p):
    if kind == "height":
        return p[a][2]
    if kind in ("along", "across"):
        o, x, y = frame(p)
        return (np.array(p[a][:2]) - o) @ (x if kind == "along" else y)
    n = 3 if kind == "tape" else 2
    return np.linalg.norm(np.array(p[a][:n]) - np.array(p[b][:n]))


def case(both):
    truth = {k: np.array(v) + rng.uniform(-0.03, 0.03, 3) for k, v in BASE.items()}
    if both:
        for k in BASE:
            truth["Right." + k] = truth[k] * [1, -1, 1] + rng.uniform(-0.01, 0.01, 3)
    else:
        truth["Right.WheelCentre"] = truth["WheelCentre"] * [1, -1, 1]
    truth["WheelCentre"][0] = truth["Right.WheelCentre"][0] = 0
    truth["Right.WheelCentre"][1] = -truth["WheelCentre"][1]
    truth["sill"] = np.array([-0.6, 0.75, 0.35]) + rng.uniform(-0.05, 0.05, 3)
    truth["chassis"] = np.array([0.3, 0.2, 0.55]) + rng.uniform(-0.05, 0.05, 3)
    names = list(truth)
    sides = [""] + (["Right."] if both else [])
    rows = [("floor", "WheelCentre", "Right.WheelCentre")]
    for s in sides:
        for k in BASE:
            rows.append(("height", s + k, ""))
            if k != "WheelCentre":
                rows += [("along", s + k, ""), ("across", s + k, "")]
        for a, b in [("LowerFront", "LowerRear"), ("LowerFront", "LowerBall"), ("LowerRear", "LowerBall"), ("TieInner", "TieOuter"),
                     ("UpperFront", "UpperRear"), ("UpperFront", "UpperBall"), ("UpperRear", "UpperBall"), ("UpperBall", "LowerBall")]:
            rows.append(("tape", s + a, s + b))
        rows.append(("floor", s + "LowerBall", s + "TieInner"))
    for m in ("sill", "chassis"):
        rows += [("height", m, ""), ("across", m, "")]
        for k in ("UpperBall", "LowerBall", "LowerFront", "UpperRear"):
            rows.append(("tape", m, k))
    readings = []
    for kind, a, b in rows:
        sigma = SIGMA[kind] * rng.choice([1, 1, 1.5])
        readings.append([kind, a, b, read(kind, a, b, truth) + sigma * rng.standard_normal(), sigma])
    blunder = int(rng.integers(len(readings)))
    readings[blunder][3] += 0.015

    free = [(k, i) for k in names for i in range(3)
            if not (k == "Right.WheelCentre" and not both and i == 2)]

    def places(q):
        p = {k: truth[k].copy() for k in names}
        for (k, i), v in zip(free, q):
            p[k][i] = v
        return p

    def miss(q):
        p = places(q)
        held = [(p["WheelCentre"][0] - 0) / 1e-6, (p["Right.WheelCentre"][0] - 0) / 1e-6,
                (p["WheelCentre"][1] + p["Right.WheelCentre"][1]) / 1e-6]  # where the floor lies is nobody's reading
        return np.array([(read(k, a, b, p) - v) / s for k, a, b, v, s in readings] + held)

    q0 = np.array([truth[k][i] for k, i in free])
    fit = least_squares(miss, q0, jac="3-point", method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    q = np.linalg.inv(fit.jac.T @ fit.jac)
    v = miss(fit.x)[: len(readings)]
    r = 1 - np.einsum("ij,jk,ik->i", fit.jac, q, fit.jac)[: len(readings)]
    p = places(fit.x)
    deviation = {k: [0.0] * 3 for k in names}
    for j, (k, i) in enumerate(free):
        deviation[k][i] = float(np.sqrt(q[j, j]))
    corner = [k for k in names if k not in ("sill", "chassis") and (both or not k.startswith("Right."))]
    start = {k: (truth[k] + rng.uniform(-0.02, 0.02, 3)).tolist() for k in BASE}
    return {
        "start": start, "readings": readings, "blunder": blunder,
        "points": {k: p[k].tolist() for k in corner}, "deviation": {k: deviation[k] for k in corner},
        "misfit": float(v @ v), "freedom": len(readings) - (len(free) - 3),
        "residual": (v * [s for *_, s in readings]).tolist(), "redundancy": r.tolist(),
        "standardised": (v / np.sqrt(np.maximum(r, 1e-12))).tolist(),
    }


def rounded(x):
    if isinstance(x, float):
        return round(x, 9)
    if isinstance(x, dict):
        return {k: rounded(v) for k, v in x.items()}
    return [rounded(v) for v in x] if isinstance(x, (list, tuple)) else x


json.dump([rounded(case(i % 2 == 1)) for i in range(CASES)], sys.stdout, indent=None, separators=(",", ":"))
sys.stdout.write("\n")
