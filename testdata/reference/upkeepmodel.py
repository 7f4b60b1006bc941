"""Counts of Weibull renewals by their power series, with mpmath (Debian's python3-mpmath).

    python3 upkeepmodel.py > upkeepmodel.csv

McShane, Adrian, Bradlow, Fader, "Count models based on Weibull interarrival times", J. Business & Economic Statistics 26
(2008): with s = (t/scale)^shape,

    P(N = n) = sum over j >= n of (-1)^(n+j) s^j a(j, n) / Gamma(shape j + 1)
    a(j, 0) = Gamma(shape j + 1)/j!
    a(j, n+1) = sum over m = n .. j-1 of a(m, n) Gamma(shape (j-m) + 1)/(j-m)!

(from memory; the alternating terms are summed in 400 digits, rows that haven't converged are left out, and each row is
checked to add up to 1 and, for shape 1, to be Poisson's). Columns: shape, distance in scales, expected count, P(N = 0), P(N = 1), ... up to 12.
"""

from mpmath import mp, mpf, gamma, factorial, exp

mp.dps = 400
COUNTS, TERMS = 24, 200

print("shape,distance,mean," + ",".join(f"p{n}" for n in range(13)))
for shape in (mpf("0.7"), mpf(1), mpf("1.5"), mpf(2), mpf(3), mpf(5)):
    c = [gamma(shape * j + 1) / factorial(j) for j in range(TERMS)]
    a = [c[:]]
    for n in range(COUNTS):
        last = a[-1]
        a.append([sum((last[m] * c[j - m] for m in range(n, j)), mpf(0)) for j in range(TERMS)])
    for distance in ("0.2", "0.5", "1", "1.7", "2.5"):
        s = mpf(distance) ** shape
        p = []
        for n in range(COUNTS + 1):
            p.append(sum(((-1) ** (n + j) * s**j * a[n][j] / gamma(shape * j + 1) for j in range(n, TERMS)), mpf(0)))
        last = max(s ** (TERMS - 1) * abs(a[n][-1]) / gamma(shape * (TERMS - 1) + 1) for n in range(COUNTS + 1))
        if last > mpf("1e-15") or abs(sum(p) - 1) > mpf("1e-12"):
            continue  # the series has not converged within TERMS
        if shape == 1:
            assert all(abs(p[n] - exp(-s) * s**n / factorial(n)) < mpf("1e-30") for n in range(COUNTS))
        mean = sum(n * q for n, q in enumerate(p))
        print(",".join(mp.nstr(v, 12) for v in [shape, mpf(distance), mean, *p[:13]]))
