#!/usr/bin/python3
"""Return torque of two invented trucks in steady turns by numpy and scipy, for sim.ReturnTorque.

Run from this folder:  /usr/bin/python3 returntorque.py
It writes returntorque.csv. Everything is worked out anew from the doc comments, by other means than the Go code:
both wheels in the vehicle's own axes (no mirroring), the steer angle by root-finding on the tie rod's length, rack
rates and the body's rise by differences, the jacking part by k·(r×W), the steady turn by brentq.
"""

import numpy as np
import scipy
from scipy.optimize import brentq

DEG, G = np.pi / 180, 9.80665
Z = np.array([0.0, 0.0, 1.0])

TRUCK = dict(
    wheelbase=2.85, mass=1990.0, front_share=0.54, left_share=0.5, height=0.72, front_roll=0.55, front_drive=0.5,
    rear_cornering=105e3, wheel_mass=36.0, radius=0.402, loaded=0.385, cornering=52e3, nominal=6500.0, camber_stiffness=2.5e3,
    friction=0.8, rack_per_turn=0.044, rack_friction=120.0, kingpin=4.0, reverse=0.8,
)
CORNER = dict(
    upper=(-0.022, 0.665, 0.620), lower=(0.012, 0.735, 0.245), inner=(0.135, 0.360, 0.300), outer=(0.150, 0.718, 0.288),
    centre=(0.0, 0.800, 0.385), shaft_in=(-0.010, 0.180, 0.370), shaft_out=(0.0, 0.700, 0.385), camber=0.2 * DEG, toe=0.05 * DEG,
)
UNLIKE = dict(CORNER, upper=(-0.030, 0.665, 0.620), camber=0.6 * DEG, toe=-0.1 * DEG)
PEAK_LOAD = 2.13


def rotate(p, k, angle):
    """Turn a vector about the unit direction k."""
    return p * np.cos(angle) + np.cross(k, p) * np.sin(angle) + k * (k @ p) * (1 - np.cos(angle))


class Wheel:
    def __init__(self, corner, side):
        flip = np.array([1.0, side, 1.0])
        at = {name: np.array(p) * flip for name, p in corner.items() if isinstance(p, tuple)}
        self.side, self.at = side, at
        self.k = at["upper"] - at["lower"]
        self.k /= np.linalg.norm(self.k)
        self.rod = np.linalg.norm(at["outer"] - at["inner"])
        t, c = corner["toe"], corner["camber"]
        self.spin = np.array([np.sin(t) * np.cos(c), np.cos(t) * np.cos(c), -np.sin(c)]) * flip  # outboard

    def move(self, p, angle):
        return self.at["lower"] + rotate(p - self.at["lower"], self.k, angle)

    def steer(self, rack):
        inner = self.at["inner"] + np.array([0.0, rack, 0.0])
        return brentq(lambda a: np.linalg.norm(self.move(self.at["outer"], a) - inner) - self.rod, -0.9, 0.9, xtol=1e-14)

    def rate(self, rack, h=1e-6):
        return (self.steer(rack + h) - self.steer(rack - h)) / (2 * h)

    def pose(self, rack, radius):
        a = self.steer(rack)
        centre, spin = self.move(self.at["centre"], a), rotate(self.spin, self.k, a)
        heading = np.cross(spin * self.side, Z)
        heading /= np.linalg.norm(heading)
        down = -Z + spin * (spin @ Z)
        down /= np.linalg.norm(down)
        shaft = self.move(self.at["shaft_out"], a) - self.at["shaft_in"]
        return dict(centre=centre, contact=centre + radius * down, heading=heading, left=np.cross(Z, heading),
                    lean_left=-self.side * np.arcsin(spin @ Z), axle=spin * self.side, shaft=self.side * shaft / np.linalg.norm(shaft),
                    angle=np.arctan2(heading[1], heading[0]))


class Truck:
    def __init__(self, right, left_share):
        t = dict(TRUCK, left_share=left_share)
        self.t = t
        self.left, self.right = Wheel(CORNER, 1.0), Wheel(right, -1.0)
        self.mass = t["mass"] + 4 * t["wheel_mass"]
        self.front_mass = t["front_share"] * t["mass"] + 2 * t["wheel_mass"]
        self.b = t["wheelbase"] * self.front_mass / self.mass  # centre of mass ahead of the rear axle
        self.a = t["wheelbase"] - self.b
        moment = t["mass"] * t["height"] + 4 * t["wheel_mass"] * t["loaded"]
        track = self.left.pose(0, t["loaded"])["contact"][1] - self.right.pose(0, t["loaded"])["contact"][1]
        self.transfer = t["front_roll"] * moment / track
        deflection = (t["radius"] - t["loaded"]) / t["radius"]
        self.half = t["radius"] * (0.671 * np.sqrt(deflection) + 0.733 * deflection)
        self.half_load = self.front_mass * G / 2

    def tyre(self, slip, lean_left, load):
        t = self.t
        q = load / t["nominal"]
        c = t["cornering"] * q * (1 + PEAK_LOAD**-2) / (1 + (q / PEAK_LOAD) ** 2)
        limit = t["friction"] * load
        linear = c * np.tan(slip) - t["camber_stiffness"] * q * lean_left
        x = min(1.0, abs(linear) / (3 * limit))
        lateral = -np.sign(linear) * limit * (1 - (1 - x) ** 3)
        x = min(1.0, c * abs(np.tan(slip)) / (3 * limit))
        a = self.half * np.sqrt(load / self.half_load)
        return lateral, np.sign(slip) * limit * a * x * (1 - x) ** 3

    def course(self, turn, speed):
        """Sideways velocity at the front axle's middle, and yaw rate, of the steady turn."""
        rear = self.mass * turn * self.a / self.t["wheelbase"]
        limit = self.t["friction"] * (self.mass - self.front_mass) * G

        def miss(slip):
            x = min(1.0, self.t["rear_cornering"] * abs(np.tan(slip)) / (3 * limit))
            return -np.sign(slip) * limit * (1 - (1 - x) ** 3) - rear

        slip = brentq(miss, -0.3, 0.3, xtol=1e-15)
        yaw = turn / speed
        return speed * np.tan(slip) + yaw * self.t["wheelbase"], yaw

    def wheel(self, w, rack, turn, speed, drive):
        p = w.pose(rack, self.t["loaded"])
        vy, yaw = self.course(turn, speed)
        share = self.t["left_share"] if w.side > 0 else 1 - self.t["left_share"]
        load = self.front_mass * G * share - w.side * self.transfer * turn
        x, y, _ = p["contact"]
        slip = np.arctan2(vy + yaw * x, speed - yaw * y) - p["angle"]
        lateral, aligning = self.tyre(slip, p["lean_left"], load)
        arm = p["contact"] - w.at["lower"]
        moment = lambda force: w.k @ np.cross(arm, force)
        couple = drive * self.t["loaded"] * (p["axle"] + p["shaft"]) / (1 + p["axle"] @ p["shaft"])
        parts = np.array([
            moment(lateral * p["left"]), aligning * (w.k @ Z), moment(load * Z),
            moment(drive * p["heading"]) + w.k @ couple,
        ])
        across = lateral * p["left"][1] + drive * p["heading"][1]
        return parts, across, load, lateral, slip, p["angle"]

    def both(self, rack, turn, speed, drive):
        return [self.wheel(w, rack, turn, speed, drive) for w in (self.left, self.right)]

    def rack_for(self, turn, speed, drive):
        asked = self.mass * turn * self.b / self.t["wheelbase"]
        return brentq(lambda s: sum(w[1] for w in self.both(s, turn, speed, drive)) - asked, -0.07, 0.07, xtol=1e-14)

    def handwheel(self, rack, turn, speed, drive):
        """Parts at the handwheel, + returning, and the dry friction there."""
        rates = [w.rate(rack) for w in (self.left, self.right)]
        wheels = self.both(rack, turn, speed, drive)
        i = self.t["rack_per_turn"] / (2 * np.pi)
        back = -1.0 if turn >= 0 else 1.0
        parts = back * i * sum(w[0] * r for w, r in zip(wheels, rates))
        band = i * (self.t["rack_friction"] + self.t["kingpin"] * sum(abs(r) for r in rates))
        return parts, band, wheels

    def hold(self, speed):
        """Lateral acceleration to the left up to which friction holds."""

        def over(turn):
            rack = self.rack_for(turn, speed, 0.0)
            parts, band, _ = self.handwheel(rack, turn, speed, 0.0)
            return self.t["reverse"] * parts.sum() - band

        if over(1e-6) > 0:
            return 0.0
        return brentq(over, 1e-6, 3.0, xtol=1e-10)


def main():
    trucks = {"like": Truck(CORNER, 0.5), "unlike": Truck(UNLIKE, 0.52)}
    with open("returntorque.csv", "w", encoding="utf-8") as f:
        print(f"# steady turns by scipy {scipy.__version__}, made by returntorque.py; SI units, angles in rad", file=f)
        print("truck,speed,turn,drive,angle,handwheel,mechanical,pneumatic,jacking,traction,total,hold_turn,"
              "left_load,left_lateral,left_slip,left_moment,right_load,right_lateral,right_slip,right_moment", file=f)
        for name, truck in trucks.items():
            for speed in (6.0, 15.0, 32.0):
                hold = truck.hold(speed)
                for turn in (-4.0, -1.0, 0.3, 2.0, 5.0):
                    for drive in (0.0, 3000.0):
                        force = drive * truck.t["front_drive"] / 2
                        rack = truck.rack_for(turn, speed, force)
                        parts, band, wheels = truck.handwheel(rack, turn, speed, force)
                        total = np.sign(parts.sum()) * max(0.0, truck.t["reverse"] * abs(parts.sum()) - band)
                        back = -1.0 if turn >= 0 else 1.0
                        row = [speed, turn, drive, (wheels[0][5] + wheels[1][5]) / 2, rack / truck.t["rack_per_turn"] * 2 * np.pi,
                               *parts, total, hold if drive == 0 else np.nan]
                        for moments, _, load, lateral, slip, _ in wheels:
                            row += [load, lateral, slip, back * moments.sum()]
                        print(name, *(f"{x:.9e}" for x in row), sep=",", file=f)


if __name__ == "__main__":
    main()
