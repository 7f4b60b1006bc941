"""Tyre forces and joint forces of the test truck's load cases, worked out apart from the program with numpy.

    python3 jointloadcases.py > jointloadcases.csv

The invented truck is the one of the package's tests, at rest as measured (no lift, no cam), so that its joints are where
they were measured. Contact, load transfer and the forces of each case are set up here from their definitions; the joints
are then solved by the system of 20 unknowns of jointloads.py. Left corner, forces in N.
"""

import numpy as np

from jointloads import solve

G = 9.80665
mm = 1e-3
P = {n: np.array(p) * mm for n, p in {
    "upperfront": (90, 420, 610), "upperrear": (-130, 425, 595), "upperball": (-22, 665, 620),
    "lowerfront": (180, 340, 265), "lowerrear": (-200, 345, 262), "lowerball": (12, 735, 245),
    "tieinner": (135, 360, 300), "tieouter": (150, 718, 288),
    "springarm": (20, 560, 280), "springframe": (0, 500, 680)}.items()}
CENTRE = np.array([0, 800, 385]) * mm
CAMBER, TOE = np.radians(0.2), np.radians(0.05)
LOADED, ROLLING, INERTIA = 0.385, 0.390, 3.0 + 0.45
MASS, WHEEL, UNSPRUNG = 1990.0, 24.0 + 12.0, 55.0
FRONT, ROLL, BRAKE, HEIGHT, BASE = 0.54, 0.55, 0.65, 0.72, 2.85

heading = np.array([np.cos(TOE), -np.sin(TOE), 0])
outboard = np.array([np.sin(TOE), np.cos(TOE), 0])
spin = outboard * np.cos(CAMBER) + np.array([0, 0, -np.sin(CAMBER)])
down = outboard * -np.sin(CAMBER) + np.array([0, 0, -np.cos(CAMBER)])  # camber + leans the top out and the foot in
contact = CENTRE + LOADED * down

total = MASS + 4 * WHEEL
front = FRONT * MASS + 2 * WHEEL
height = (MASS * HEIGHT + 4 * WHEEL * LOADED) / total
track = 2 * contact[1]

print("case,vertical,rearward,side,upper.x,upper.y,upper.z,lower.x,lower.y,lower.z,tension,spring")
for case, braking, cornering, bump, strike in [
        ("static", 0, 0, 1, 0), ("braking", 1, 0, 1, 0), ("cornering", 0, -1, 1, 0), ("bump", 0, 0, 3, 0),
        ("kerb", 0, -1, 2, 0), ("pothole", 0, 0, 3, 2)]:
    pitch = braking * total * G * height / BASE
    roll = cornering * total * G * height / track * ROLL
    left = bump * front * G / 2 + pitch / 2 - roll
    axle = bump * front * G + pitch
    rearward = BRAKE * total * G * braking * left / axle
    side = front * G * cornering * left / axle
    blow = strike * front * G / 2
    unsprung = UNSPRUNG + WHEEL
    loads = [
        (contact, np.array([0, 0, left]) - rearward * heading + side * outboard, np.zeros(3)),
        (CENTRE, -blow * heading, np.zeros(3)),
        (CENTRE, unsprung * G * np.array([braking, -cornering, -bump]), spin * INERTIA * braking * G / ROLLING),
    ]
    x = solve(P, False, loads)
    print(",".join([case] + [f"{v:.12g}" for v in (left, rearward + blow, side, *x[:8])]))
