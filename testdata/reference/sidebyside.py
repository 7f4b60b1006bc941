#!/usr/bin/python3
"""The caster study's core as an ordinary numpy, scipy and matplotlib script, to set beside Turnplate.

Run from this folder:  /usr/bin/python3 sidebyside.py [FOLDER]
It writes sidebyside.csv, or with a folder that file and four plots there. It does what sidebyside.md asks Turnplate for:
at 33 casters, set the upper arm, cams and tie rods of the lifted Corrie for upright wheels, and give trail, standing
effort, the parts of the return torque in a bend, and the angle inside which friction holds. Kinematics are root finding
on the link lengths, settings are SLSQP, steady turns are brentq (returntorque.py's sums): nobody optimised it, and nobody
would for a study that is run now and then. The truck is that of notebooks/vehicles/corrie.md.
"""

import sys

sys.dont_write_bytecode = True  # returntorque.py is a script beside this one

import matplotlib
import numpy as np
import scipy
from scipy.optimize import minimize, root
from scipy.spatial.transform import Rotation

import returntorque as steady

matplotlib.use("svg")
import matplotlib.pyplot as plt

DEG, G = np.pi / 180, 9.80665
P = {name: np.array(p) / 1e3 for name, p in dict(
    upper_front=(105, 432, 632), upper_rear=(-135, 440, 606), upper=(-14, 672, 640), lower_front=(205, 318, 262),
    lower_rear=(-195, 330, 270), lower=(12, 742, 244), inner=(148, 350, 302), outer=(146, 716, 290), centre=(0, 806, 384)).items()}
CAMBER, TOE, LIFT = 0.1 * DEG, 0.05 * DEG, 0.050  # as measured; lifted since
CAM, LEG, SHIFT = 0.006, 0.015, 0.010  # most either way: cam shift, leg, spacers
UNIT = np.array([CAM, CAM, 0.010, 0.010, 0.010])  # in which movements are counted
CASTERS, TARGET_TOE = np.linspace(1, 9, 33) * DEG, 0.05 * DEG
SPEED, TURN = 60 / 3.6, 0.2 * G

steady.TRUCK = dict(
    wheelbase=2.85, mass=1960.0, front_share=0.54, left_share=0.5, height=0.720 + LIFT + 0.425 - 0.384, front_roll=0.55, front_drive=0.0,
    rear_cornering=2650 / DEG * 1180 / 1250, wheel_mass=29.0 + 12.0, radius=35 * 0.0254 / 2, loaded=0.425, cornering=1180 / DEG, nominal=5600.0,
    camber_stiffness=50 / DEG, friction=0.8, rack_per_turn=0.046, rack_friction=0.25 * 180.0, kingpin=0.25 * 6.0, reverse=0.7)
PRESSURE, EFFICIENCY, GAIN, CEILING, RIM, WIDTH, ONSET = 210e3, 0.85, 6.0, 7000.0, 0.190, 10.5 * 0.0254, 1.0
STANDING = dict(rack_friction=180.0, kingpin=6.0)  # what the road shakes loose above is whole when parked


def length(p):
    return np.linalg.norm(p)


LENGTHS = [length(P["lower"] - P["lower_front"]), length(P["lower"] - P["lower_rear"]), length(P["upper"] - P["upper_front"]),
           length(P["upper"] - P["upper_rear"])]
ROD = length(P["outer"] - P["inner"])
SPIN = np.array([np.sin(TOE) * np.cos(CAMBER), np.cos(TOE) * np.cos(CAMBER), -np.sin(CAMBER)])
AFT = (P["upper_rear"] - P["upper_front"]) / length(P["upper_rear"] - P["upper_front"])


def knuckle(x, start):
    """The knuckle's pose (a shift and a rotation) at a setting x, with the target's toe; the tie rod takes what is left."""
    ends = [("lower", P["lower_front"] + [0, x[0], 0], 0.0), ("lower", P["lower_rear"] + [0, x[1], 0], 0.0),
            ("upper", P["upper_front"] + x[2] * AFT, x[3]), ("upper", P["upper_rear"] + x[2] * AFT, x[4])]

    def miss(q):
        turn = Rotation.from_rotvec(q[3:]).as_matrix()
        spin = turn @ SPIN
        return [length(q[:3] + turn @ P[name] - at) - l - more for (name, at, more), l in zip(ends, LENGTHS)] + [
            (q[:3] + turn @ P["centre"])[2] - (P["centre"][2] - LIFT), np.arctan2(spin[0], spin[1]) - TARGET_TOE]

    return root(miss, start, method="hybr", options={"xtol": 1e-12}).x


def angles(q):
    turn = Rotation.from_rotvec(q[3:]).as_matrix()
    spin, axis = turn @ SPIN, turn @ (P["upper"] - P["lower"])
    return np.array([np.arctan2(-spin[2], np.hypot(spin[0], spin[1])), np.arctan(-axis[0] / axis[2])])


def settings(caster, q):
    """The least movement that gives the caster and no camber."""
    def miss(y):
        return 100 * (angles(knuckle(y * UNIT, q)) - [0.0, caster])

    box = [(-1, 1), (-1, 1), (-SHIFT / UNIT[2], SHIFT / UNIT[2]), (-LEG / UNIT[3], LEG / UNIT[3]), (-LEG / UNIT[4], LEG / UNIT[4])]
    y = minimize(lambda y: y @ y, np.zeros(5), jac=lambda y: 2 * y, method="SLSQP", bounds=box, constraints={"type": "eq", "fun": miss},
                 options={"ftol": 1e-10, "maxiter": 200}).x
    return knuckle(y * UNIT, q)


def truck_at(q):
    turn = Rotation.from_rotvec(q[3:]).as_matrix()
    at = {name: tuple(q[:3] + turn @ P[name]) for name in ("upper", "lower", "outer", "centre")}
    corner = dict(at, inner=tuple(P["inner"]), shaft_in=(0.0, 0.2, 0.4), shaft_out=at["centre"], camber=0.0, toe=TARGET_TOE)
    steady.CORNER = corner
    return steady.Truck(corner, 0.5)


def trail_and_scrub(wheel, p):
    foot = wheel.at["lower"] + wheel.k * (p["contact"][2] - wheel.at["lower"][2]) / wheel.k[2]
    gap = foot - p["contact"]
    return gap @ p["heading"], -gap @ p["left"] * wheel.side


def mean_arm(length, width, lever):
    """The mean distance of a rectangle's points from a centre off its middle across its width, by Gauss and Legendre."""
    node, weight = np.polynomial.legendre.leggauss(40)

    def part(a, b):  # of the width, from a to b as seen from the centre of turning
        x, y = length / 4 * (node + 1), (b - a) / 2 * node + (a + b) / 2
        return np.sum(np.hypot(x[:, None], y) * weight[:, None] * weight) * length / 2 * (b - a) / 2

    low, high = -width / 2 - lever, width / 2 - lever
    middle = min(max(low, 0.0), high)  # where the distance has its kink
    return (part(low, middle) + part(middle, high)) / (length * width)


def contact(load, t):
    """Length by the deflection (Besselink, Schmeitz and Pacejka 2010), width by the pressure, no wider than the tyre."""
    share = 1 - t["loaded"] / t["radius"]
    length = 2 * t["radius"] * (0.671 * np.sqrt(share) + 0.733 * share)
    width = load / (PRESSURE * length)
    return (length, width) if width <= WIDTH else (load / (PRESSURE * WIDTH), WIDTH)


def standing(truck):
    """Effort at the rim to turn left from straight ahead, standing, brakes held."""
    force = STANDING["rack_friction"]
    for w in (truck.left, truck.right):
        p = w.pose(0.0, truck.t["loaded"])
        load = truck.front_mass * G / 2
        _, scrub = trail_and_scrub(w, p)
        twist = truck.t["friction"] * load * mean_arm(*contact(load, truck.t), scrub) * w.k[2]
        raising = -w.k @ np.cross(p["contact"] - w.at["lower"], [0, 0, load])
        force += (twist + raising + STANDING["kingpin"]) * w.rate(0.0)
    onset = ONSET * EFFICIENCY * 2 * np.pi / truck.t["rack_per_turn"]  # the driver's part of the rack force there
    driver = max(min(force, (force + GAIN * onset) / (1 + GAIN)), force - CEILING)
    return driver * truck.t["rack_per_turn"] / (2 * np.pi) / EFFICIENCY / RIM


def study():
    rows, q = [], np.zeros(6)
    for part in np.linspace(0.2, 1, 5):  # down to where the lift leaves the wheel, in steps
        q = knuckle(np.zeros(5), q * part)
    for caster in CASTERS:
        q = settings(caster, q)
        truck = truck_at(q)
        trail, _ = trail_and_scrub(truck.left, truck.left.pose(0.0, truck.t["loaded"]))
        parts, band, _ = truck.handwheel(truck.rack_for(TURN, SPEED, 0.0), TURN, SPEED, 0.0)
        total = np.sign(parts.sum()) * max(0.0, truck.t["reverse"] * abs(parts.sum()) - band)
        hold = truck.rack_for(truck.hold(SPEED), SPEED, 0.0) / truck.t["rack_per_turn"] * 2 * np.pi
        rows.append([caster / DEG, trail * 1e3, standing(truck), parts[0], parts[1], parts[2], total - parts.sum(), total, hold / DEG])
    return np.array(rows)


NAMES = "caster,trail,rim,mechanical,pneumatic,jacking,friction,total,hold"


def plots(rows, folder):
    caster = rows[:, 0]
    for name, title, label, columns in (
            ("trail", "Trail", "mm", {"Trail": 1}), ("standing", "Effort at the rim, standing", "N", {"Rim force": 2}),
            ("return", "Return torque at the handwheel", "N·m", {"Trail": 3, "Tyre's own trail": 4, "Weight": 5, "Friction": 6, "What is left": 7}),
            ("hold", "Handwheel angle inside which friction holds", "°", {"Angle": 8})):
        fig, ax = plt.subplots()
        for line, column in columns.items():
            ax.plot(caster, rows[:, column], label=line)
        ax.set(title=title, xlabel="Caster (°)", ylabel=label)
        ax.legend()
        fig.savefig(f"{folder}/{name}.svg")
        plt.close(fig)


def main():
    rows = study()
    folder = sys.argv[1] if len(sys.argv) > 1 else "."
    head = f"the caster study by scipy {scipy.__version__}, made by sidebyside.py; degrees, mm, N, N·m\n{NAMES}"
    np.savetxt(f"{folder}/sidebyside.csv", rows, fmt="%.9e", delimiter=",", header=head, encoding="utf-8")
    if len(sys.argv) > 1:
        plots(rows, folder)


if __name__ == "__main__":
    main()
