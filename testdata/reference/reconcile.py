"""The most likely hardpoints of a corner for an alignment printout, by general-purpose solvers: writes reconcile.json.

Run with python3, numpy and scipy: python3 reconcile.py > reconcile.json

The corner is a rigid knuckle with six unknowns, held by five links and the wheel centre's height (or, when steered, by
the lower ball joint's height and a heading, with the rack's place as a seventh unknown); scipy.optimize.root solves
it. scipy.optimize.least_squares then finds the 27 coordinates, camber and toe (29 unknowns, each in its own standard
deviations from what was measured) that make the sum of squares of all corrections least. Nothing of the method
under test is used: not the closed-form linkage, and not the adjustment by conditions.

Axes: x forward, y left, z up; metres and radians; the body stands level.
"""
import json
import sys

import numpy as np
from scipy.optimize import least_squares, root
from scipy.spatial.transform import Rotation
from scipy.stats import chi2

rng = np.random.default_rng(20240618)
CASES = 12
NAMES = ["UpperFront", "UpperRear", "UpperBall", "LowerFront", "LowerRear", "LowerBall", "TieInner", "TieOuter", "WheelCentre"]
BASE = {
    "UpperFront": [0.090, 0.420, 0.610], "UpperRear": [-0.130, 0.425, 0.595], "UpperBall": [-0.022, 0.665, 0.620],
    "LowerFront": [0.180, 0.340, 0.265], "LowerRear": [-0.200, 0.345, 0.262], "LowerBall": [0.012, 0.735, 0.245],
    "TieInner": [0.135, 0.360, 0.300], "TieOuter": [0.150, 0.718, 0.288], "WheelCentre": [0.0, 0.800, 0.385],
}
POINT, CAMBER, CASTER, TOE = 0.003, np.radians(0.1), np.radians(0.25), np.radians(0.05)
SWEEP = np.radians(20)


class Corner:
    def __init__(self, x, lift, cams):
        p = dict(zip(NAMES, np.reshape(x[:27], (9, 3))))
        n = np.linalg.norm
        self.p, self.cams = p, cams
        self.legs = [n(p["LowerBall"] - p["LowerFront"]), n(p["LowerBall"] - p["LowerRear"]), n(p["UpperBall"] - p["UpperFront"]),
                     n(p["UpperBall"] - p["UpperRear"]), n(p["TieOuter"] - p["TieInner"])]
        self.spin = (Rotation.from_euler("z", -x[28]) * Rotation.from_euler("x", -x[27])).apply([0, 1, 0])
        self.rest = p["WheelCentre"][2] - lift

    def links(self, q, rack, share=1.0):
        p, y = self.p, np.array([0, 1.0, 0])
        turn = Rotation.from_rotvec(q[3:6])
        self.place = lambda name: q[:3] + turn.apply(p[name])
        self.axes = (turn.apply(self.spin), turn.apply(p["UpperBall"] - p["LowerBall"]))
        ends = [("LowerBall", p["LowerFront"] + share * self.cams[0] * y), ("LowerBall", p["LowerRear"] + share * self.cams[1] * y),
                ("UpperBall", p["UpperFront"]), ("UpperBall", p["UpperRear"]), ("TieOuter", p["TieInner"] + rack * y)]
        return [np.linalg.norm(self.place(n) - a) - l for (n, a), l in zip(ends, self.legs)]

    def solved(self, miss, q):
        r = root(miss, q, method="hybr", options={"xtol": 1e-13})
        q = r.x
        if np.abs(miss(q)).max() > 1e-11:
            raise RuntimeError("not solved")
        return q

    def heading(self):
        return np.arctan2(-self.axes[0][0], self.axes[0][1])

    def camber(self):
        s = self.axes[0]
        return np.arctan2(-s[2], np.hypot(s[0], s[1]))

    def read(self, plan):
        """Camber, caster, toe at rest, then what the plan asks for."""
        q = np.zeros(6)
        for share in np.linspace(0, 1, 4):
            height = self.p["WheelCentre"][2] + share * (self.rest - self.p["WheelCentre"][2])
            q = self.solved(lambda q: self.links(q, 0.0, share) + [self.place("WheelCentre")[2] - height], q)
        self.links(q, 0.0)
        k = self.axes[1]
        out = [self.camber(), np.arctan(-k[0] / k[2]), -self.heading()]
        zero, low = self.heading(), self.place("LowerBall")[2]
        if plan["sweep"]:
            for angle in (SWEEP, -SWEEP):
                s = np.append(q, 0.0)
                for part in np.linspace(0, 1, 5)[1:]:
                    s = self.solved(lambda s: self.links(s, s[6]) + [self.place("LowerBall")[2] - low, self.heading() - zero - part * angle], s)
                self.links(s, s[6])
                out.append(self.camber())
        for bump in plan["bumps"]:
            b = q
            for part in np.linspace(0, 1, 4)[1:]:
                b = self.solved(lambda b: self.links(b, 0.0) + [self.place("WheelCentre")[2] - self.rest - part * bump], b)
            self.links(b, 0.0)
            out += [self.camber(), -self.heading()]
        return np.array(out)


def main():
    rows = []
    while len(rows) < CASES:
        i = len(rows)
        base = np.array([BASE[n] for n in NAMES])
        if i % 2:  # every other rack lies behind the axle
            base[6:8, 0] *= -1
        x0 = np.append(np.round(base + rng.uniform(-0.015, 0.015, base.shape), 5).ravel(), np.round(rng.uniform(-0.01, 0.01, 2) * [1, 0.3], 6))
        lift, cams = round(float(rng.uniform(0, 0.05)), 5), [round(float(rng.uniform(-0.006, 0.006)), 6) for _ in range(2)]
        plan = {"sweep": bool(i % 3 == 1), "bumps": [-0.05, 0.04, 0.07] if i % 3 == 2 else []}
        spread = np.array([CAMBER, CASTER, TOE] + [CAMBER] * 2 * plan["sweep"] + [CAMBER, TOE] * len(plan["bumps"]))
        sigma = np.append(np.full(27, POINT), [CAMBER, TOE])
        size = 4.0 if i in (4, 9) else 1.0  # two printouts that can't be explained
        try:
            truth = Corner(x0 + rng.normal(size=29) * sigma, lift, cams).read(plan)
            y = np.round(truth + rng.normal(size=len(truth)) * spread + (size - 1) * spread * rng.choice([-4, 4], len(truth)), 6)

            def misses(z):
                return np.append(z, (y - Corner(x0 + z * sigma, lift, cams).read(plan)) / spread)

            r = least_squares(misses, np.zeros(29), jac="3-point", method="trf", xtol=1e-13, ftol=1e-14, gtol=1e-12)
        except RuntimeError:
            continue
        total = 2 * r.cost
        rows.append({"points": dict(zip(NAMES, np.reshape(x0[:27], (9, 3)).tolist())), "camber": float(x0[27]), "toe": float(x0[28]), "lift": lift,
                     "cams": cams, "sweep": plan["sweep"], "bumps": plan["bumps"], "readings": y.tolist(),
                     "moved": [round(float(v), 8) for v in r.x], "chi_square": round(float(total), 8),
                     "probability": float(f"{chi2.sf(total, len(y)):.6g}")})
        print(i, total, file=sys.stderr, flush=True)
    print("[")
    print(",\n".join(json.dumps(r, separators=(",", ":")) for r in rows))
    print("]")


main()
