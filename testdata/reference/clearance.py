"""Gaps between a rounded-off tyre and a rounded edge, by general-purpose optimisers: writes clearance.csv.

Run with python3, numpy and scipy: python3 clearance.py > clearance.csv

The signed distance of a point p from a convex body with support function h is the most that n·p − h(n) gets over all
unit directions n: positive outside, minus the depth inside. For a cylinder with rounded shoulders
h(n) = (R − ρ)·|n across the axis| + (w/2 − ρ)·|n along it| + ρ. Here directions are tried all round the sphere and the
best is polished by Nelder and Mead's method; along the edge the least is found by Brent's bounded method. Where the two are
apart, the gap is found once more as the shortest way between two convex sets by SLSQP, and must agree.

The tyre stands anywhere, tilted anyhow; metres.
"""
import sys

import numpy as np
from scipy.optimize import minimize, minimize_scalar

rng = np.random.default_rng(20240615)
ROWS = 160

i = np.arange(6000) + 0.5  # a spiral of directions all round
polar, turn = np.arccos(1 - 2 * i / 6000), np.pi * (1 + 5**0.5) * i
SPHERE = np.column_stack([np.cos(turn) * np.sin(polar), np.sin(turn) * np.sin(polar), np.cos(polar)])


def support(n, axis, radius, width, shoulder):
    along = n @ axis
    across = np.sqrt(np.maximum(0, 1 - along**2))
    return (radius - shoulder) * across + (width / 2 - shoulder) * np.abs(along) + shoulder


def polish(n, p, centre, axis, shape):
    for size in (0.05, 0.01, 0.001):  # afresh from where it stopped: the function has edges
        e1 = np.cross(n, [1, 0, 0] if abs(n[0]) < 0.8 else [0, 1, 0])
        e1 /= np.linalg.norm(e1)
        e2 = np.cross(n, e1)

        def fall(t):
            m = n + t[0] * e1 + t[1] * e2
            m = m / np.linalg.norm(m)
            return -(m @ (p - centre) - support(m, axis, *shape))

        r = minimize(fall, [0, 0], method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-15, "initial_simplex": [[0, 0], [size, 0], [0, size]], "maxiter": 2000})
        n = n + r.x[0] * e1 + r.x[1] * e2
        n = n / np.linalg.norm(n)
    return -r.fun


def signed(p, centre, axis, shape):
    value = SPHERE @ (p - centre) - support(SPHERE, axis, *shape)
    starts = []  # the best directions that lie well apart: there may be a narrow best beside a broad one
    for k in np.argsort(-value)[:1500]:
        if all(SPHERE[k] @ SPHERE[other] < np.cos(0.3) for other in starts):
            starts.append(k)
        if len(starts) == 8 or value[k] < value.max() - 0.05:
            break
    return max(polish(SPHERE[k], p, centre, axis, shape) for k in starts)


def apart(a, b, centre, axis, shape):
    radius, width, shoulder = shape
    q, half = radius - shoulder, width / 2 - shoulder

    def ends(z):
        return a + z[0] * (b - a), centre + z[1:]

    constraints = [{"type": "ineq", "fun": lambda z: 10 * (q**2 - (z[1:] @ z[1:] - (z[1:] @ axis) ** 2))},
                   {"type": "ineq", "fun": lambda z: 10 * (half**2 - (z[1:] @ axis) ** 2)}]
    r = minimize(lambda z: 10 * np.sum((ends(z)[0] - ends(z)[1]) ** 2), [0.5, 0, 0, 0], method="SLSQP", bounds=[(0, 1)] + [(None, None)] * 3,
                 constraints=constraints, options={"ftol": 1e-16, "maxiter": 500})
    p, c = ends(r.x)
    return np.linalg.norm(p - c) - shoulder


print("radius,width,shoulder,centre_x,centre_y,centre_z,axis_x,axis_y,axis_z,from_x,from_y,from_z,to_x,to_y,to_z,edge_radius,gap")
for row in range(ROWS):
    radius, width = round(rng.uniform(0.3, 0.5), 4), round(rng.uniform(0.18, 0.34), 4)
    shoulder = round(width * rng.uniform(0, 0.5) if row % 8 else 0.0, 4)
    shape = (radius, width, shoulder)
    centre = np.round(rng.uniform(-1, 1, 3), 4)
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    spread = [0.35, 0.6, 0.9][row % 3]
    a, b = np.round(centre + rng.normal(size=3) * spread, 4), np.round(centre + rng.normal(size=3) * spread, 4)
    edge = round(rng.uniform(0, 0.03), 4)
    along = minimize_scalar(lambda s: signed(a + s * (b - a), centre, axis, shape), bounds=(0, 1), method="bounded", options={"xatol": 1e-9})
    gap = min(along.fun, signed(a, centre, axis, shape), signed(b, centre, axis, shape))
    if gap > 1e-3:
        other = apart(a, b, centre, axis, shape)
        if abs(other - gap) > 1e-6:
            raise RuntimeError(f"row {row}: {gap} and {other}")
    gap -= edge
    numbers = [radius, width, shoulder, *centre, *axis, *a, *b, edge]
    print(",".join(repr(float(x)) for x in numbers) + f",{gap:.9f}")
    print(row, end=" ", file=sys.stderr, flush=True)
