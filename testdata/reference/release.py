#!/usr/bin/python3
"""Free-steer histories by scipy, for sim/release.

Run from this folder:  /usr/bin/python3 release.py
It writes release.csv and prints how long each 5 s history took at the accuracy the Go program uses
(RK45, rtol 1e-6) beside a finer one (DOP853, rtol 1e-11).

The equations are written here anew from the doc comments of FreeSteer (textbook_test.go) and System, not carried over from the Go code:
dry friction as two systems, held and sliding, joined by events.
"""

import time

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.linalg import expm

P = dict(
    m=2300.0, iz=4200.0, a=1.32, b=1.48, cf=95e3, cr=110e3, v=22.0,
    sf=0.45, sr=0.50, n=0.032, t=0.024, inertia=9.0, c=180.0, k=150.0,
)
MU_FRONT, MU_REAR = 0.8 * 12200.0, 0.8 * 10400.0  # N, friction limits of the brush case
J = 6.5  # kg·m², what the steering's rate adds to the yaw momentum, in the case of that name; else none
A2 = 0.075  # m, half contact length of the brush case: its trail at zero slip is A2/3


def linear(alpha_f, alpha_r):
    return -P["cf"] * alpha_f, P["t"] * P["cf"] * alpha_f, -P["cr"] * alpha_r


def brush(alpha_f, alpha_r):
    def one(alpha, c, limit):
        x = c * np.tan(alpha) / (3 * limit)
        w = max(0.0, 1 - abs(x))
        return -limit * np.sign(x) * (1 - w**3), limit * A2 * x * w**3

    ff, mz = one(alpha_f, P["cf"], MU_FRONT)
    fr, _ = one(alpha_r, P["cr"], MU_REAR)
    return ff, mz, fr


def rates(tyres, y, friction, j):
    """Rates, the tyres' torque, and the push on friction that holds; friction is the signed dry torque while sliding, or None
    while it holds."""
    v, r, d, w, af, ar = y
    ff, mz, fr = tyres(af, ar)
    torque = -P["n"] * ff + mz - P["k"] * d
    yaw = P["a"] * ff - P["b"] * fr
    if friction is None:
        w, rdot, wdot = 0.0, yaw / P["iz"], 0.0
    else:
        rdot, wdot = np.linalg.solve([[P["iz"], j], [j, P["inertia"]]], [yaw, torque - friction - P["c"] * w])
    return [
        (ff + fr) / P["m"] - P["v"] * r,
        rdot,
        w,
        wdot,
        P["v"] / P["sf"] * ((v + P["a"] * r - P["n"] * w) / P["v"] - d - af),
        P["v"] / P["sr"] * ((v - P["b"] * r) / P["v"] - ar),
    ], torque, torque - j * yaw / P["iz"]


def history(tyres, friction, loss, j, start, times, method, rtol, max_step=np.inf):
    """friction: dry torque; loss: the share of the tyres' torque lost beside it; j: the yaw momentum of the steering."""
    atol = rtol * 1e-3
    out = np.empty((6, len(times)))
    t, y = times[0], np.array(start, float)
    out[:, 0] = y
    done = 1
    level = lambda torque: friction + loss * abs(torque)
    while t < times[-1]:
        _, torque, push = rates(tyres, y, None, j)
        if abs(y[3]) > 0:
            way = np.sign(y[3])
        elif abs(push) <= level(torque) * (1 + 1e-12) and friction + loss > 0:
            way = 0.0
        else:
            way = np.sign(push) or 1.0
        if way == 0:
            f = lambda _t, z: rates(tyres, z, None, j)[0]

            def event(_t, z):
                _, torque, push = rates(tyres, z, None, j)
                return abs(push) - level(torque)

            event.direction = 1
        else:

            def f(_t, z):
                q = rates(tyres, z, None, j)[1]
                return rates(tyres, z, way * level(q), j)[0]

            def event(_t, z):
                return z[3] * way + 1e-12

            event.direction = -1
        event.terminal = True
        s = solve_ivp(f, (t, times[-1]), y, method=method, rtol=rtol, atol=atol, dense_output=True, max_step=max_step,
                      events=[event] if friction + loss > 0 else None)
        assert s.success, s.message
        while done < len(times) and times[done] <= s.t[-1]:
            out[:, done] = s.sol(times[done])
            done += 1
        t, y = s.t[-1], s.y[:, -1].copy()
        if s.status == 1:
            if way == 0:
                y[3] = 1e-11 * np.sign(rates(tyres, y, None, j)[2])
            else:
                y[3] = 0.0
    assert done == len(times)
    return out


def steady(tyres_front_inverse, ay):
    """The steady left turn that is let go at ay: forces by static balance, slips by the tyre's inverse."""
    r = ay / P["v"]
    length = P["a"] + P["b"]
    ff, fr = P["m"] * ay * P["b"] / length, P["m"] * ay * P["a"] / length
    af, ar = tyres_front_inverse(ff, P["cf"], MU_FRONT), tyres_front_inverse(fr, P["cr"], MU_REAR)
    v = P["v"] * ar + P["b"] * r
    d = (v + P["a"] * r) / P["v"] - af
    return [v, r, d, 0.0, af, ar]


def linear_inverse(force, c, _limit):
    return -force / c


def brush_inverse(force, c, limit):
    return -np.arctan(3 * limit / c * (1 - np.cbrt(1 - force / limit)))


CASES = [
    # name, tyres, dry torque N·m, loss, yaw momentum kg·m², start
    ("linear", linear, 0.0, 0.0, 0.0, steady(linear_inverse, 2.0)),
    ("dry", linear, 12.0, 0.0, 0.0, steady(linear_inverse, 2.0)),
    ("sticky", linear, 60.0, 0.0, 0.0, steady(linear_inverse, 2.0)),
    ("brush", brush, 12.0, 0.25, 0.0, steady(brush_inverse, 4.5)),
    ("momentum", brush, 12.0, 0.25, J, steady(brush_inverse, 4.5)),
]


def main():
    times = np.arange(0, 5.0001, 0.05)
    with open("release.csv", "w", encoding="utf-8") as f:
        print(f"# free-steer histories by scipy {scipy.__version__} (DOP853, rtol 1e-11); made by release.py", file=f)
        for key, value in P.items():
            print(f"# {key} {value!r}", file=f)
        print(f"# mu_front {MU_FRONT!r}\n# mu_rear {MU_REAR!r}\n# half {A2!r}\n# j {J!r}", file=f)
        print("case,t,v,r,steer,steer_rate,slip_front,slip_rear", file=f)
        for name, tyres, friction, loss, j, start in CASES:
            y = history(tyres, friction, loss, j, start, times, "DOP853", 1e-11, 0.01)  # short steps for its interpolant
            for i, t in enumerate(times):
                print(name, f"{t:.2f}", *(f"{x:.12e}" for x in y[:, i]), sep=",", file=f)
            if name == "linear":
                check_linear(start, times, y)
            best = min(timed(tyres, friction, loss, j, start, times, "RK45", 1e-6) for _ in range(5))
            slow = min(timed(tyres, friction, loss, j, start, times, "DOP853", 1e-11) for _ in range(2))
            print(f"{name:8s} 5 s history: RK45 rtol 1e-6 {best*1e3:7.1f} ms, DOP853 rtol 1e-11 {slow*1e3:7.1f} ms")


def timed(*args):
    begin = time.perf_counter()
    history(*args)
    return time.perf_counter() - begin


def check_linear(start, times, y):
    """The linear case once more, by the matrix exponential of a numerical Jacobian."""
    a = np.column_stack([np.array(rates(linear, np.eye(6)[i], 0.0, 0.0)[0]) for i in range(6)])
    exact = np.column_stack([expm(a * t) @ start for t in times])
    assert np.max(np.abs(exact - y)) < 1e-9, np.max(np.abs(exact - y))


if __name__ == "__main__":
    main()
