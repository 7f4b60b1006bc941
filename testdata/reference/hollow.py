"""Gaps between a tyre on a hollow rim and a rounded edge, by brute force: writes hollow.csv.

Run with python3, numpy and scipy: python3 hollow.py > hollow.csv

The wheel's section, tyre and barrel together, is one closed line in the plane of r (from the axis) and a (from the middle
plane); its rounded shoulders are 1000 chords each. A place's distance is that to the nearest chord, negative if the
winding of the line about it says that it is inside. Along the edge 401 places are tried, and the best few
are polished by Brent's bounded method. Metres; the wheel stands anywhere, tilted anyhow.
"""
import sys

import numpy as np
from scipy.optimize import minimize_scalar

rng = np.random.default_rng(20261127)
ROWS = 240
WALL = 0.015


def outline(radius, width, shoulder, rim, rim_width):
    h, k, bore = width / 2, rim_width / 2, rim - WALL
    turn = np.linspace(0, np.pi / 2, 1001)
    right = np.column_stack([radius - shoulder + shoulder * np.sin(turn), h - shoulder + shoulder * np.cos(turn)])
    corners = [(bore, k), (rim, k), (rim, h)]
    half = np.vstack([corners, right])
    return np.vstack([half, half[::-1] * [1, -1]])  # (r, a), closed


def signed(line, r, a):
    p, q = line, np.roll(line, -1, axis=0)
    d = q - p
    length = np.maximum((d**2).sum(1), 1e-300)
    t = np.clip(((r - p[:, 0]) * d[:, 0] + (a - p[:, 1]) * d[:, 1]) / length, 0, 1)
    near = np.hypot(p[:, 0] + t * d[:, 0] - r, p[:, 1] + t * d[:, 1] - a).min()
    crosses = (p[:, 1] > a) != (q[:, 1] > a)
    at = p[crosses, 0] + (a - p[crosses, 1]) / (q[crosses, 1] - p[crosses, 1]) * (q[crosses, 0] - p[crosses, 0])
    return -near if (at > r).sum() % 2 else near


def gap(shape, centre, axis, start, end):
    line = outline(*shape)

    def at(s):
        p = start + s * (end - start) - centre
        a = p @ axis
        return signed(line, np.linalg.norm(p - a * axis), a)

    places = np.linspace(0, 1, 401)
    values = np.array([at(s) for s in places])
    best = values.min()
    step = places[1] * np.linalg.norm(end - start)
    for k in np.flatnonzero(values < best + step):
        lo, hi = places[max(k - 1, 0)], places[min(k + 1, 400)]
        # Where two faces meet there may be two valleys in one step: four pieces of it.
        cuts = np.linspace(lo, hi, 5)
        for lo, hi in zip(cuts, cuts[1:]):
            best = min(best, minimize_scalar(at, bounds=(lo, hi), method="bounded", options={"xatol": 1e-11}).fun, at(lo), at(hi))
    return best


out = sys.stdout
out.write("radius,width,shoulder,rim radius,rim width,cx,cy,cz,nx,ny,nz,fx,fy,fz,tx,ty,tz,edge radius,gap\n")
for row in range(ROWS):
    radius, width = rng.uniform(0.36, 0.46), rng.uniform(0.22, 0.33)
    shoulder = rng.uniform(0.05, 0.5) * width / 2
    rim = rng.uniform(0.19, 0.26)
    rim_width = rng.uniform(0.6, 1) * width
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    across = np.cross(axis, rng.normal(size=3))
    across /= np.linalg.norm(across)
    third = np.cross(axis, across)
    centre = rng.normal(size=3)

    def place(kind):
        turn = rng.uniform(-np.pi, np.pi)
        r, a = {
            "bore": (rng.uniform(0, rim - WALL), rng.uniform(-1, 1) * width / 2),
            "wall": (rim + rng.uniform(-0.03, 0.02), rng.uniform(-1, 1) * width / 2),
            "mouth": (rng.uniform(0.05, 0.3), rng.choice([-1, 1]) * (width / 2 + rng.uniform(-0.03, 0.1))),
            "far": (rng.uniform(0, 0.6), rng.uniform(-0.5, 0.5)),
        }[kind]
        return centre + a * axis + r * (np.cos(turn) * across + np.sin(turn) * third)

    kinds = [("bore", "bore"), ("bore", "mouth"), ("mouth", "mouth"), ("bore", "far"), ("wall", "wall"), ("wall", "mouth"), ("mouth", "far"), ("far", "far")][row % 8]
    start, end = place(kinds[0]), place(kinds[1])
    if row % 3 == 0:  # as short as a joint's housing
        end = start + 0.2 * (end - start)
    edge = rng.uniform(0, 0.02)
    shape = (radius, width, shoulder, rim, rim_width)
    values = [*shape, *centre, *axis, *start, *end, edge, gap(shape, centre, axis, start, end) - edge]
    out.write(",".join(f"{v:.12g}" for v in values) + "\n")
