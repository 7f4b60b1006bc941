"""Settings for an alignment target by general-purpose solvers: writes alignto.json.

Run with python3, numpy and scipy: python3 alignto.py > alignto.json

A corner set some way is a rigid knuckle with six unknowns, and the tie rod's length is a seventh; seven equations
hold them: two lower legs, two upper legs, the tie rod, the wheel centre's height, and toe. scipy.optimize.root solves
them from a start carried along in small steps. Of the settings left (two cams; with "upper" also the upper arm's
shift and two legs), camber and caster are functions, on which scipy.optimize.minimize (SLSQP) works:

  reached   least sum of squares of the movements, each in its unit, with camber and caster equal to the target
  short     in turn: least camber outside the tolerance; least caster error with that; least camber error with both

Nothing of the method under test is used. Axes: x forward, y left, z up, body-fixed; metres and radians; the ground
is pitched under the body and angles are taken in its axes.
"""
import json
import sys

import numpy as np
from scipy.optimize import minimize, root
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(20240611)
CASES = 36
TOLERANCE = np.radians(0.25)
UPPER_UNIT = 0.010
BASE = {
    "UpperFront": [0.090, 0.420, 0.610], "UpperRear": [-0.130, 0.425, 0.595], "UpperBall": [-0.022, 0.665, 0.620],
    "LowerFront": [0.180, 0.340, 0.265], "LowerRear": [-0.200, 0.345, 0.262], "LowerBall": [0.012, 0.735, 0.245],
    "TieInner": [0.135, 0.360, 0.300], "TieOuter": [0.150, 0.718, 0.288], "WheelCentre": [0.0, 0.800, 0.385],
}


class Corner:
    """x holds front cam shift, rear cam shift, upper shift, upper front leg, upper rear leg."""

    def __init__(self, v):
        p = {k: np.array(q) for k, q in v["points"].items()}
        n = np.linalg.norm
        self.p = p
        self.legs = np.array([n(p["LowerBall"] - p["LowerFront"]), n(p["LowerBall"] - p["LowerRear"]),
                              n(p["UpperBall"] - p["UpperFront"]), n(p["UpperBall"] - p["UpperRear"]),
                              n(p["TieOuter"] - p["TieInner"])])
        self.spin = (Rotation.from_euler("z", -v["toe"]) * Rotation.from_euler("x", -v["camber"])).apply([0, 1, 0])
        self.height = p["WheelCentre"][2] - v["lift"]
        self.to_ground = Rotation.from_euler("y", -v["pitch"])
        self.at, self.q = np.zeros(5), np.zeros(7)
        self.cache = {}

    def miss(self, q, x, toe, height):
        p = self.p
        turn = Rotation.from_rotvec(q[3:6])
        place = lambda name: q[:3] + turn.apply(p[name])
        y = np.array([0, 1.0, 0])
        aft = p["UpperRear"] - p["UpperFront"]
        aft = aft / np.linalg.norm(aft)
        ends = [("LowerBall", p["LowerFront"] + x[0] * y, 0), ("LowerBall", p["LowerRear"] + x[1] * y, 0),
                ("UpperBall", p["UpperFront"] + x[2] * aft, x[3]), ("UpperBall", p["UpperRear"] + x[2] * aft, x[4]),
                ("TieOuter", p["TieInner"], q[6])]
        out = [np.linalg.norm(place(n) - a) - l - more for (n, a, more), l in zip(ends, self.legs)]
        out.append(place("WheelCentre")[2] - height)
        spin = self.to_ground.apply(turn.apply(self.spin))
        out.append(np.arctan2(spin[0], spin[1]) - toe)
        return np.array(out)

    def pose(self, x, toe):
        """The knuckle's pose and the tie rod for other settings and toe, followed from the last one."""
        x = np.asarray(x, float)
        key = (tuple(x), toe)
        if key in self.cache:
            return self.cache[key]
        if not self.cache:  # down to rest first
            for f in np.linspace(0, 1, 6):
                self.q = self.solve(self.q, self.at, toe, self.p["WheelCentre"][2] + f * (self.height - self.p["WheelCentre"][2]))
        steps = max(1, int(np.ceil(np.abs(x - self.at).max() / 0.004)))
        q, start = self.q, self.at
        for f in np.arange(1, steps + 1) / steps:
            q = self.solve(q, start + f * (x - start), toe, self.height)
        self.at, self.q = x, q
        self.cache[key] = q
        return q

    def solve(self, q, x, toe, height):
        r = root(self.miss, q, args=(x, toe, height), method="hybr", options={"xtol": 1e-13})
        q = r.x
        for _ in range(2):  # polish by Newton with central differences
            h = 1e-6
            jac = np.column_stack([(self.miss(q + h * e, x, toe, height) - self.miss(q - h * e, x, toe, height)) / (2 * h) for e in np.eye(7)])
            q = q - np.linalg.solve(jac, self.miss(q, x, toe, height))
        if np.abs(self.miss(q, x, toe, height)).max() > 1e-13:
            raise RuntimeError("not solved")
        return q

    def angles(self, x, toe):
        q = self.pose(x, toe)
        turn = Rotation.from_rotvec(q[3:6])
        spin = self.to_ground.apply(turn.apply(self.spin))
        axis = self.to_ground.apply(turn.apply(self.p["UpperBall"] - self.p["LowerBall"]))
        return np.arctan2(-spin[2], np.hypot(spin[0], spin[1])), np.arctan(-axis[0] / axis[2])


def slsqp(f, x0, bounds, constraints):
    r = minimize(f, x0, method="SLSQP", bounds=bounds, constraints=constraints, options={"ftol": 1e-15, "maxiter": 300})
    return r.x


def reached(corner, target, bounds, units, from_):
    used = [k for k in range(5) if bounds[k][1] > bounds[k][0]]

    def full(y):
        x = np.zeros(5)
        x[used] = from_[used] + y * units[used]
        return x

    def angles(y):
        camber, caster = corner.angles(full(y), target["toe"])
        return 100 * np.array([camber - target["camber"], caster - target["caster"]])

    box = [((bounds[k][0] - from_[k]) / units[k], (bounds[k][1] - from_[k]) / units[k]) for k in used]
    if len(used) == 2:
        y = root(angles, np.zeros(2), method="hybr", options={"xtol": 1e-12}).x
    else:
        y = slsqp(lambda y: y @ y, np.zeros(len(used)), box, [{"type": "eq", "fun": angles}])
    x = full(y)
    miss = np.abs(angles(y)).max() / 100
    if miss > 1e-8 or any(not lo - 1e-9 <= v <= hi + 1e-9 for v, (lo, hi) in zip(y, box)):
        return None
    return x


def short(corner, target, bounds):
    """Two cams: x = the best in three stages, each from several starts with the winner kept."""
    scale = bounds[0][1] - bounds[0][0]
    box = [((lo) / scale, (hi) / scale) for lo, hi in bounds[:2]]

    def miss(z):
        camber, caster = corner.angles([z[0] * scale, z[1] * scale, 0, 0, 0], target["toe"])
        return np.array([camber - target["camber"], caster - target["caster"]])

    starts = [np.array([a, b]) for a in box[0] for b in box[1]] + [np.mean(box, axis=1)]

    def stage(which, holds):
        """Least t with |miss[which]| <= t + allowance, and each earlier (index, bound) held."""
        best = None
        for s in starts:
            m = abs(miss(s)[which[0]])
            z0 = np.append(s, m * 100)
            cons = [{"type": "ineq", "fun": lambda z, sign=sign: z[2] + 100 * (which[1] + sign * miss(z[:2])[which[0]])} for sign in (1, -1)]
            for i, limit in holds:
                cons += [{"type": "ineq", "fun": lambda z, i=i, limit=limit, sign=sign: 100 * (limit + sign * miss(z[:2])[i])} for sign in (1, -1)]
            z = slsqp(lambda z: z[2], z0, box + [(0, None)], cons)
            ok = all(abs(miss(z[:2])[i]) <= limit + 1e-8 for i, limit in holds)
            t = max(0, abs(miss(z[:2])[which[0]]) - which[1])
            if ok and (best is None or t < best[0] - 1e-11):
                best = (t, z[:2])
        return best

    over, _ = stage((0, TOLERANCE), [])
    caster, z = stage((1, 0), [(0, TOLERANCE + over + 1e-10)])
    final = stage((0, 0), [(0, TOLERANCE + over + 1e-10), (1, caster + 1e-9)])
    if final is not None:
        z = final[1]
    return np.append(z * scale, [0, 0, 0])


def main():
    rows = []
    while len(rows) < CASES:
        i = len(rows)
        u = lambda a, d=6: round(float(rng.uniform(-a, a)), d)
        points = {}
        for name, p in BASE.items():
            q = np.array(p)
            if i % 2 and name.startswith("Tie"):  # every other rack lies behind the axle
                q[0] = -q[0]
            points[name] = list(map(float, np.round(q + rng.uniform(-0.02, 0.02, 3), 5)))
        v = {"points": points, "camber": u(0.02), "toe": u(0.005), "lift": round(float(rng.uniform(0, 0.05)), 5), "pitch": u(0.02),
             "cam": round(float(rng.uniform(0.004, 0.01)), 5), "upper": i % 3 == 2}
        corner = Corner(v)
        cam, legs = v["cam"], 0.03 if v["upper"] else 0.0
        bounds = [(-cam, cam)] * 2 + [(-legs, legs)] * 3
        units = np.array([cam, cam, UPPER_UNIT, UPPER_UNIT, UPPER_UNIT])
        try:
            here = corner.angles(np.zeros(5), 0.0)
            far = 1.0 if i % 3 == 1 else (0.5 if v["upper"] else 0.25)
            target = {"camber": round(float(here[0] + np.radians(rng.uniform(-2, 2)) * far), 7),
                      "caster": round(float(here[1] + np.radians(rng.uniform(-8, 8)) * far), 7), "toe": u(0.005)}
            x = reached(corner, target, bounds, units, np.zeros(5))
            got = x is not None
            if not got:
                if v["upper"]:
                    continue
                x = short(corner, target, bounds)
            camber, caster = corner.angles(x, target["toe"])
        except (RuntimeError, np.linalg.LinAlgError):
            continue
        v.update({"target": target, "reached": got, "settings": [round(float(k), 10) for k in x],
                  "tie_rod": round(float(corner.pose(x, target["toe"])[6]), 11),
                  "camber_got": round(float(camber), 11), "caster_got": round(float(caster), 11)})
        rows.append(v)
        print(i, got, file=sys.stderr, end=" ", flush=True)
    print("[")
    print(",\n".join(json.dumps(r, separators=(",", ":")) for r in rows))
    print("]")


main()
