"""What a corner's bushes, rod and coil give under load, with all bodies cut free: writes compliance.json.

Run with python3 and numpy: python3 compliance.py > compliance.json

Knuckle, upper arm and lower arm are three free bodies of six unknowns each, written about the body's origin. Ball
joints are six conditions with their forces as unknowns, and so is whatever is rigid, the held height too; the rest are
springs with six-by-six stiffnesses in the bush's own axes, turned and moved. The whole system
[K Aᵀ; A 0] is solved at once by least squares (numpy.linalg.lstsq), which bears conditions that repeat each other.
Infinite stiffness is written as null. SI units.
"""
import json

import numpy as np

rng = np.random.default_rng(1406)
ROWS = 60


def cross(r):
    return np.array([[0, -r[2], r[1]], [r[2], 0, -r[0]], [-r[1], r[0], 0]])


def place(r):
    """Movement of a place from a body's six."""
    return np.hstack([np.eye(3), -cross(r)])


def axes(front, rear):
    e = (front - rear) / np.linalg.norm(front - rear)
    q, _ = np.linalg.qr(np.column_stack([e, rng.normal(size=3), rng.normal(size=3)]))
    return np.column_stack([e, q[:, 1], q[:, 2]]).T


def solve(c):
    k = np.zeros((18, 18))
    conditions = []

    def add(body, rows, stiffnesses):
        for row, s in zip(np.atleast_2d(rows), stiffnesses):
            full = np.zeros(18)
            full[6 * body : 6 * body + 6] = row
            if s is None:
                conditions.append(full)
            else:
                k[:] += s * np.outer(full, full)

    for body, arm in ((1, c["upper"]), (2, c["lower"])):
        frame = axes(arm["front"], arm["rear"])
        for at, bush in ((arm["front"], arm["front bush"]), (arm["rear"], arm["rear bush"])):
            radial, axial, torsion, tilt = bush
            add(body, frame @ place(at), [axial, radial, radial])
            add(body, frame @ np.hstack([np.zeros((3, 3)), np.eye(3)]), [torsion, tilt, tilt])
        joint = np.zeros((3, 18))
        joint[:, :6] = place(arm["ball"])
        joint[:, 6 * body : 6 * body + 6] = -place(arm["ball"])
        conditions.extend(joint)
    rod = c["tie inner"] - c["tie outer"]
    add(0, (rod / np.linalg.norm(rod)) @ place(c["tie outer"]), [c["rod"]])
    along = c["along"] / np.linalg.norm(c["along"])
    add(1 if c["coil on upper"] else 2, along @ place(c["seat"]), [c["coil"]])
    if c["held"]:
        add(0, np.array([0, 0, 1]) @ place(c["reference"]), [None])
    a = np.array(conditions)
    f = np.zeros(18)
    f[:3] = c["force"]
    f[3:6] = c["moment"] + np.cross(c["at"], c["force"])
    # Conditions weigh as much as springs, so that neither drowns in the other's rounding.
    w = np.abs(k).max() or 1
    whole = np.block([[k / w, a.T], [a, np.zeros((len(a), len(a)))]])
    x = np.linalg.lstsq(whole, np.concatenate([f / w, np.zeros(len(a))]), rcond=1e-14)[0]
    assert np.allclose(a @ x[:18], 0, atol=1e-12), "conditions kept"
    return place(c["reference"]) @ x[:6], x[3:6]


def bush(kind):
    if kind == "rigid":
        return [None, None, 0, 0]
    if kind == "spherical":
        return [80e6, 80e6, 0.1, 0.1]
    return [rng.uniform(3e6, 15e6), rng.uniform(0.5e6, 3e6), rng.uniform(30, 120), rng.uniform(300, 1200)]


def near(*p):
    return np.array(p) + rng.uniform(-0.05, 0.05, size=3)


rows = []
for n in range(ROWS):
    kinds = rng.choice(["rubber", "rubber", "spherical", "rigid"], size=3)
    upper, c = bush(kinds[0]), {}
    c["upper"] = {"front": near(0.12, 0.45, 0.66), "rear": near(-0.2, 0.45, 0.64), "ball": near(-0.045, 0.7, 0.69), "front bush": upper, "rear bush": upper}
    c["lower"] = {"front": near(0.2, 0.38, 0.34), "rear": near(-0.25, 0.38, 0.33), "ball": near(0.01, 0.76, 0.3), "front bush": bush(kinds[1]), "rear bush": bush(kinds[2])}
    c["tie inner"], c["tie outer"] = near(0.2, 0.37, 0.4), near(0.2, 0.72, 0.38)
    c["rod"] = None if n % 5 == 0 else rng.uniform(5e6, 40e6)
    c["coil"], c["coil on upper"] = rng.uniform(50e3, 150e3), bool(n % 3 == 0)
    c["seat"] = near(0, 0.6, 0.65) if c["coil on upper"] else near(0, 0.62, 0.32)
    c["along"] = near(0, -0.1, 1)
    c["reference"] = near(0, 0.85, 0.43)
    c["held"] = bool(n % 4 != 0)
    c["at"] = c["reference"] + near(0, 0, -0.43)
    c["force"], c["moment"] = rng.normal(size=3) * 1000, rng.normal(size=3) * 100
    c["move"], c["turn"] = solve(c)
    rows.append(c)


def plain(x):
    if isinstance(x, dict):
        return {k: plain(v) for k, v in x.items()}
    if isinstance(x, np.ndarray):
        return [float(f"{v:.15g}") for v in x]
    if isinstance(x, list):
        return [plain(v) for v in x]
    return float(f"{x:.15g}") if isinstance(x, float) else x


print("[\n" + ",\n".join(json.dumps(plain(r)) for r in rows) + "\n]")
