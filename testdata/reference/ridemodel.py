"""Quarter-car reference values with numpy and scipy (Debian's python3-scipy).

    python3 ridemodel.py > ridemodel.csv

Each row is one random quarter car: masses, spring, damping at the wheel, tyre spring and the intensity of the
white road velocity; then the eigenvalues' natural frequencies and damping ratios (numpy.linalg.eigvals of the
state matrix; natural frequencies from the undamped pencil), the rms values from
scipy.linalg.solve_continuous_lyapunov, and the transmissibility at one frequency from the complex 2x2 system.
Two real eigenvalues are paired slowest with slowest. The first row is the example of Barton & Fieldhouse,
Automotive Chassis Engineering (2018), Eq. 3.83, with a damper added.
"""

import numpy as np
from scipy.linalg import eigh, solve_continuous_lyapunov


def row(ms, mu, k, c, kt, q, omega):
    # state: body - wheel, body velocity, wheel - road, wheel velocity
    a = np.array([
        [0, 1, 0, -1],
        [-k / ms, -c / ms, 0, c / ms],
        [0, 0, 0, 1],
        [k / mu, c / mu, -kt / mu, -c / mu],
    ])
    b = np.array([[0.0], [0.0], [-1.0], [0.0]])
    p = solve_continuous_lyapunov(a, -q * (b @ b.T))
    acceleration = a[1]
    rms = [np.sqrt(acceleration @ p @ acceleration), np.sqrt(p[0, 0]), kt * np.sqrt(p[2, 2])]

    natural = np.sqrt(eigh(np.array([[k, -k], [-k, k + kt]]), np.diag([ms, mu]), eigvals_only=True))

    roots = np.linalg.eigvals(a)
    swinging = sorted((r for r in roots if r.imag > 0), key=abs)
    real = sorted((-r.real for r in roots if r.imag == 0))
    pairs = [(abs(r), -r.real / abs(r)) for r in swinging]
    for i in range(0, len(real), 2):
        pairs.append((np.sqrt(real[i] * real[i + 1]), (real[i] + real[i + 1]) / 2 / np.sqrt(real[i] * real[i + 1])))
    pairs.sort()
    ratios = [ratio for _, ratio in pairs]

    link = k + 1j * omega * c
    system = np.array([[ms * -(omega**2) + link, -link], [-link, mu * -(omega**2) + link + kt]])
    body, wheel = np.abs(np.linalg.solve(system, np.array([0, kt])))
    return [ms, mu, k, c, kt, q, omega, *natural, *ratios, *rms, body, wheel]


print("sprung,unsprung,spring,damping,tyre,noise,omega,body,hop,bodyratio,hopratio,acceleration,stroke,force,bodygain,wheelgain")
random = np.random.default_rng(8608)
rows = [row(317.5, 45.4, 22e3, 1500.0, 192e3, 1.0106475e-3, 20.0)]
for _ in range(300):
    ms, mu = random.uniform(200, 900), random.uniform(25, 130)
    k, kt = random.uniform(12e3, 90e3), random.uniform(150e3, 500e3)
    c = 10 ** random.uniform(2, 4.6)
    rows.append(row(ms, mu, k, c, kt, 10 ** random.uniform(-5, -1), 10 ** random.uniform(0, 2.5)))
for r in rows:
    print(",".join(f"{v:.15g}" for v in r))
