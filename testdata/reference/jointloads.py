"""Joint forces of a two-arm corner with numpy, set up another way than the program does.

    python3 jointloads.py > jointloads.csv

All three bodies (knuckle, upper arm, lower arm) are cut free at once: 20 unknown force components (3 at each ball
joint, 1 in the tie rod, 1 in the spring, 3 at each of four pivots) against 18 equations of equilibrium about the
origin and, for each arm, one that halves the thrust along its pivot axis. Solved by least squares with numpy.linalg.lstsq,
which must come out with full rank and no residual. Geometries are scattered about an ordinary front corner;
loads are a force at a contact point, and a force with a moment near the wheel centre.
"""

import sys

import numpy as np

NAMES = ["upperfront", "upperrear", "upperball", "lowerfront", "lowerrear", "lowerball", "tieinner", "tieouter", "springarm", "springframe"]
NOMINAL = {
    "upperfront": (0.09, 0.42, 0.61), "upperrear": (-0.13, 0.425, 0.595), "upperball": (-0.022, 0.665, 0.62),
    "lowerfront": (0.18, 0.34, 0.265), "lowerrear": (-0.2, 0.345, 0.262), "lowerball": (0.012, 0.735, 0.245),
    "tieinner": (0.135, 0.36, 0.3), "tieouter": (0.15, 0.718, 0.288),
    "springarm": (0.02, 0.56, 0.28), "springframe": (0.0, 0.5, 0.68),
}


def solve(p, on_upper, loads):
    a, b = np.zeros((20, 20)), np.zeros(20)
    # unknowns: 0-2 upper ball on knuckle, 3-5 lower ball on knuckle, 6 tie, 7 spring, 8-10 uf, 11-13 ur, 14-16 lf, 17-19 lr
    def put(body, at, direction, column, factor=1.0):
        a[6 * body:6 * body + 3, column] += factor * direction
        a[6 * body + 3:6 * body + 6, column] += factor * np.cross(at, direction)

    for i, e in enumerate(np.eye(3)):
        put(0, p["upperball"], e, i)
        put(1, p["upperball"], e, i, -1)
        put(0, p["lowerball"], e, 3 + i)
        put(2, p["lowerball"], e, 3 + i, -1)
        put(1, p["upperfront"], e, 8 + i)
        put(1, p["upperrear"], e, 11 + i)
        put(2, p["lowerfront"], e, 14 + i)
        put(2, p["lowerrear"], e, 17 + i)
    rod = p["tieinner"] - p["tieouter"]
    put(0, p["tieouter"], rod / np.linalg.norm(rod), 6)
    push = p["springarm"] - p["springframe"]
    put(1 if on_upper else 2, p["springarm"], push / np.linalg.norm(push), 7)
    for row, (front, rear, f, r) in enumerate([("upperfront", "upperrear", 8, 11), ("lowerfront", "lowerrear", 14, 17)]):
        axis = p[front] - p[rear]
        axis /= np.linalg.norm(axis)
        a[18 + row, f:f + 3] = axis
        a[18 + row, r:r + 3] = -axis
    for at, force, moment in loads:
        b[0:3] -= force
        b[3:6] -= np.cross(at, force) + moment
    x, _, rank, _ = np.linalg.lstsq(a, b, rcond=None)
    if rank != 20 or np.abs(a @ x - b).max() > 1e-8:
        sys.exit("a corner that can't hold its wheel")
    return x


def main():
    random = np.random.default_rng(512)
    header = [f"{n}.{c}" for n in NAMES for c in "xyz"] + ["onupper"]
    header += [f"{n}{i}.{c}" for i in (1, 2) for n in ("at", "force", "moment") for c in "xyz"]
    header += [f"{n}.{c}" for n in ("upper", "lower") for c in "xyz"] + ["tension", "spring"]
    header += [f"{n}.{c}" for n in ("onupperfront", "onupperrear", "onlowerfront", "onlowerrear") for c in "xyz"]
    print(",".join(header))
    for i in range(200):
        p = {n: np.array(NOMINAL[n]) + random.uniform(-0.05, 0.05, 3) for n in NAMES}
        on_upper = i % 2
        if on_upper:
            p["springarm"] = (p["upperfront"] + p["upperrear"]) / 2 * 0.4 + p["upperball"] * 0.6
            p["springframe"] = p["springarm"] + np.array([0.0, -0.03, 0.3]) + random.uniform(-0.05, 0.05, 3)
        contact = np.array([0.0, 0.8, 0.0]) + random.uniform(-0.05, 0.05, 3)
        centre = contact + np.array([0, 0, 0.4])
        loads = [
            (contact, random.uniform(-1, 1, 3) * np.array([8e3, 8e3, 0]) + np.array([0, 0, random.uniform(0, 2e4)]), np.zeros(3)),
            (centre, random.uniform(-5e3, 5e3, 3), random.uniform(-500, 500, 3)),
        ]
        x = solve(p, on_upper, loads)
        values = [v for n in NAMES for v in p[n]] + [on_upper] + [v for load in loads for part in load for v in part] + list(x)
        print(",".join(f"{v:.17g}" for v in values))


if __name__ == "__main__":
    main()
