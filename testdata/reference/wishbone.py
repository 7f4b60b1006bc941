"""Poses of a two-arm front corner by a general-purpose root finder: writes wishbone.json.

Run with python3, numpy and scipy: python3 wishbone.py > wishbone.json

The knuckle is one rigid body with six unknowns (three of place, a rotation vector). Six equations hold it:
the lengths of the two lower legs, the two upper legs and the tie rod, and either the wheel centre's height
(mode "height") or the lower ball joint's height (mode "arm"). scipy.optimize.root solves them; nothing of the
closed form under test is used. Each pose is reached from the measured position in small steps of adjusters,
height and rack together, so that the branch is the one the corner can move to.

Axes: x forward, y left, z up, body-fixed; metres and radians. Angles are taken in the ground's axes, into
which every point is turned first.
"""
import json
import sys

import numpy as np
from scipy.optimize import root
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(20240607)
VEHICLES, POSES, STEPS = 60, 10, 8

BASE = {
    "UpperFront": [0.090, 0.420, 0.610], "UpperRear": [-0.130, 0.425, 0.595], "UpperBall": [-0.022, 0.665, 0.620],
    "LowerFront": [0.180, 0.340, 0.265], "LowerRear": [-0.200, 0.345, 0.262], "LowerBall": [0.012, 0.735, 0.245],
    "TieInner": [0.135, 0.360, 0.300], "TieOuter": [0.150, 0.718, 0.288], "WheelCentre": [0.0, 0.800, 0.385],
}
SPREAD = 0.025


def random_vehicle(i):
    points = {}
    for name, p in BASE.items():
        q = np.array(p)
        if i % 2 and name.startswith("Tie"):  # every other rack lies behind the axle
            q[0] = -q[0]
        points[name] = np.round(q + rng.uniform(-SPREAD, SPREAD, 3), 5)
    u = lambda a, d=6: round(float(rng.uniform(-a, a)), d)
    return {
        "points": {k: list(map(float, v)) for k, v in points.items()},
        "camber": u(0.03), "toe": u(0.01),
        "settings": {
            "LowerFront": u(0.008), "LowerRear": u(0.008), "UpperShift": round(float(rng.uniform(0, 0.01)), 6),
            "UpperFrontLeg": u(0.006), "UpperRearLeg": u(0.006), "TieRod": u(0.005),
        },
        "pitch": u(0.03), "loaded_radius": round(float(rng.uniform(0.34, 0.42)), 5), "offset": u(0.03),
    }


class Corner:
    def __init__(self, v):
        p = {k: np.array(x) for k, x in v["points"].items()}
        self.p, self.v = p, v
        n = np.linalg.norm
        self.legs = [n(p["LowerBall"] - p["LowerFront"]), n(p["LowerBall"] - p["LowerRear"]),
                     n(p["UpperBall"] - p["UpperFront"]), n(p["UpperBall"] - p["UpperRear"]),
                     n(p["TieOuter"] - p["TieInner"])]
        # camber leans the wheel about its own heading, toe turns the heading in: z-rotation after x-rotation
        self.spin = (Rotation.from_euler("z", -v["toe"]) * Rotation.from_euler("x", -v["camber"])).apply([0, 1, 0])

    def anchors(self, share, rack):
        s, p = self.v["settings"], self.p
        y = np.array([0.0, 1.0, 0.0])
        aft = p["UpperRear"] - p["UpperFront"]
        aft = aft / np.linalg.norm(aft)
        return [p["LowerFront"] + share * s["LowerFront"] * y, p["LowerRear"] + share * s["LowerRear"] * y,
                p["UpperFront"] + share * s["UpperShift"] * aft, p["UpperRear"] + share * s["UpperShift"] * aft,
                p["TieInner"] + rack * y]

    def lengths(self, share):
        s = self.v["settings"]
        add = [0, 0, s["UpperFrontLeg"], s["UpperRearLeg"], s["TieRod"]]
        return [l + share * a for l, a in zip(self.legs, add)]

    def place(self, q, local):
        return q[:3] + Rotation.from_rotvec(q[3:]).apply(local)

    def solve(self, q, share, rack, what, height):
        anchors, lengths, p = self.anchors(share, rack), self.lengths(share), self.p
        names = ["LowerBall", "LowerBall", "UpperBall", "UpperBall", "TieOuter"]

        def miss(q):
            out = [np.linalg.norm(self.place(q, p[n]) - a) - l for n, a, l in zip(names, anchors, lengths)]
            out.append(self.place(q, p[what])[2] - height)
            return out

        r = root(miss, q, method="hybr", options={"xtol": 1e-14})
        q = r.x
        for _ in range(3):  # polish to rounding by Newton with central differences
            h = 1e-6
            jac = np.column_stack([(np.array(miss(q + h * e)) - np.array(miss(q - h * e))) / (2 * h) for e in np.eye(6)])
            q = q - np.linalg.solve(jac, miss(q))
        worst = max(map(abs, miss(q)))
        if worst > 1e-14:
            raise RuntimeError(f"residual {worst}")
        return q

    def follow(self, q, start, end, what, height0, height1):
        """Solve along a straight path of (share of settings, rack) and height."""
        for f in np.linspace(0, 1, STEPS + 1)[1:]:
            at = (1 - f) * np.array(start) + f * np.array(end)
            q = self.solve(q, at[0], at[1], what, (1 - f) * height0 + f * height1)
        return q

    def angles(self, q):
        v, p = self.v, self.p
        # the ground as seen from a body whose nose has risen by pitch: turn the body's points into it
        to_ground = Rotation.from_euler("y", -v["pitch"])
        turn = lambda x: to_ground.apply(x)
        spin = turn(Rotation.from_rotvec(q[3:]).apply(self.spin))
        low, up = turn(self.place(q, p["LowerBall"])), turn(self.place(q, p["UpperBall"]))
        centre = turn(self.place(q, p["WheelCentre"])) - v["offset"] * spin
        axis = up - low
        # lowest place of the circle, by its phase in two directions of the wheel's plane
        e1 = np.cross(spin, [0, 0, 1.0])
        e1 /= np.linalg.norm(e1)
        e2 = np.cross(spin, e1)
        t = np.arctan2(e2[2], e1[2]) + np.pi
        contact = centre + v["loaded_radius"] * (np.cos(t) * e1 + np.sin(t) * e2)
        ground = low + axis * (contact[2] - low[2]) / axis[2]
        at_centre = low + axis * (centre[2] - low[2]) / axis[2]
        heading = np.arctan2(-spin[0], spin[1])  # + left
        along, out = np.array([np.cos(heading), np.sin(heading), 0]), np.array([-np.sin(heading), np.cos(heading), 0])
        return {
            "camber": np.arctan2(-spin[2], np.hypot(spin[0], spin[1])), "toe": -heading,
            "caster": np.arctan(-axis[0] / axis[2]), "inclination": np.arctan(-axis[1] / axis[2]),
            "scrub": (contact - ground) @ out, "trail": (ground - contact) @ along,
            "spindle": (centre - at_centre) @ out, "ground": contact[2],
        }


def main():
    table = []
    for i in range(VEHICLES):
        v = random_vehicle(i)
        corner = Corner(v)
        z0 = corner.p["WheelCentre"][2]
        poses = []
        for j in range(POSES):
            bump, rack = round(float(rng.uniform(-0.08, 0.08)), 6), round(float(rng.uniform(-0.06, 0.06)), 6)
            if j < 7:
                mode = "height"
                q = corner.follow(np.zeros(6), (0, 0), (1, rack), "WheelCentre", z0, z0 + bump)
            else:
                mode = "arm"  # to the height straight ahead, then the rack with the lower ball joint held
                q = corner.follow(np.zeros(6), (0, 0), (1, 0), "WheelCentre", z0, z0 + bump)
                low = corner.place(q, corner.p["LowerBall"])[2]
                q = corner.follow(q, (1, 0), (1, rack), "LowerBall", low, low)
            row = {"mode": mode, "bump": bump, "rack": rack}
            for name in ["LowerBall", "UpperBall", "TieOuter", "WheelCentre"]:
                row[name] = [round(float(x), 13) for x in corner.place(q, corner.p[name])]
            row.update({k: round(float(x), 13) for k, x in corner.angles(q).items()})
            poses.append(row)
        v["poses"] = poses
        table.append(v)
        print(i, file=sys.stderr, end=" ", flush=True)
    print("[")
    print(",\n".join(json.dumps(v, separators=(",", ":")) for v in table))
    print("]")


main()
