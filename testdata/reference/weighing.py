# What two axles carry, level and with the rear raised: a rigid body is turned point by point, and the two wheel loads follow
# from the balance of forces and moments, solved as linear equations.
#     python3 weighing.py > weighing.json
import json
import numpy as np

rows = []
for base, body, share, height, wheel, radius, rise in [
    (2.85, 1960.0, 0.54, 0.72, 29.5, 0.384, 0.6),
    (2.85, 2010.0, 0.50, 0.81, 41.0, 0.425, 0.9),
    (3.30, 2400.0, 0.47, 0.90, 45.0, 0.40, 0.35),
    (2.40, 1300.0, 0.60, 0.60, 20.0, 0.33, 0.5),
]:
    # points along the truck (x back from the front axle) and up, from level ground
    masses = np.array([body, 2 * wheel, 2 * wheel])
    places = np.array([[(1 - share) * base, height], [0, radius], [base, radius]])
    def loads(angle):
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        moved = (places - places[1]) @ turn.T  # about the front wheel's centre
        rear = moved[2, 0]
        moments = masses @ moved[:, 0]
        return np.linalg.solve([[1, 1], [0, rear]], [masses.sum(), moments])
    level, up = loads(0.0), loads(np.arcsin(rise / base))
    rows.append(dict(wheelbase=base, mass=body, frontShare=share, height=height, wheel=wheel, radius=radius, rise=rise,
                     front=level[0], rear=level[1], raised=up[0]))
print(json.dumps(rows, indent=1))
