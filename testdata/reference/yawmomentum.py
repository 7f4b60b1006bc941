#!/usr/bin/python3
"""Yaw momentum of steered wheels by Lagrange (sympy), for sim/release.

Run from this folder:  /usr/bin/python3 yawmomentum.py
It writes yawmomentum.csv: random steered wheels (metres, kg, kg·m², directions) with the coefficient of yaw rate times
steering rate in their kinetic energy, and that of the squared steering rate. yawmomentum_simbody.cpp reads the same
wheels and adds what a multibody library's mass matrix says.

The kinetic energy is written from the wheel's velocity and angular velocity alone: the vehicle yaws with rate r about the
vertical through its centre of mass, the wheel turns about its steering axis with rate d, and doesn't spin. The knuckle
counts as its inertia about the steering axis.
"""

import random

import sympy as sp

R, K, RHO, A, U = (sp.Matrix(sp.symbols(f"{n}x {n}y {n}z")) for n in ("R", "k", "p", "a", "u"))
M, ID, IS, IK, YAW, STEER = sp.symbols("m id is_ ik r d")


def energy():
    centre = YAW * U.cross(R) + STEER * K.cross(RHO)  # velocity of the wheel's centre
    spin = YAW * U + STEER * K  # angular velocity
    along = spin.dot(A)
    wheel = ID * (spin.dot(spin) - along**2) + IS * along**2
    knuckle = IK * spin.dot(K) ** 2
    return (M * centre.dot(centre) + wheel + knuckle) / 2


def main():
    t = sp.expand(energy())
    cross = sp.diff(t, YAW, STEER)
    own = sp.diff(t, STEER, 2)
    # The contract's form, symbol for symbol: m·u·(R×(k×ρ)) + u·I·k + I_knuckle·u·k, with |k| = 1 in the knuckle's part.
    inertia = ID * (sp.eye(3) - A * A.T) + IS * A * A.T
    stated = M * U.dot(R.cross(K.cross(RHO))) + (U.T * inertia * K)[0] + IK * U.dot(K) * K.dot(K)
    assert sp.expand(cross - stated) == 0

    symbols = [M, ID, IS, IK, *R, *K, *RHO, *A, *U]
    cross, own = sp.lambdify(symbols, cross), sp.lambdify(symbols, own)
    draw = random.Random(20240711)
    names = "mass,steer_inertia,spin_inertia,knuckle," + ",".join(f"{n}{c}" for n in ("from_mass_", "axis_", "from_axis_", "spin_", "up_") for c in "xyz")
    with open("yawmomentum.csv", "w", encoding="utf-8") as f:
        print(f"# steered wheels' kinetic energy by sympy {sp.__version__}, made by yawmomentum.py\n{names},cross,own", file=f)
        for row in range(40):
            side = 1 if row % 2 else -1
            span = draw.uniform

            def unit(x, y, z):
                size = (x * x + y * y + z * z) ** 0.5
                return [x / size, y / size, z / size]

            k = unit(span(-0.2, 0.05), side * span(-0.3, -0.1), 1)
            a = unit(span(-0.3, 0.3), 1, span(-0.05, 0.05))
            u = unit(span(-0.02, 0.02), 0, 1)
            spin = span(1.5, 6)
            values = [span(20, 60), spin * span(0.55, 0.8), spin, spin * span(0.1, 0.5),
                      span(1.1, 1.7), side * span(0.7, 0.95), span(-0.5, -0.2), *k,
                      span(-0.03, 0.03), side * span(-0.02, 0.15), span(0.0, 0.2), *a, *u]
            values = [float(f"{v:.12g}") for v in values]
            print(*values, f"{cross(*values):.15e}", f"{own(*values):.15e}", sep=",", file=f)


if __name__ == "__main__":
    main()
