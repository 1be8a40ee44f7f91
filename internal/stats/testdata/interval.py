"""Writes interval.csv beside this file: quantiles of Student's t and of chi
square.

Values: mpmath 1.2.1 with 60 digits, from the incomplete beta and gamma
functions (Abramowitz and Stegun 26.7.1 and 26.4.19), and each must agree with
scipy 1.10.1 (scipy.stats.t.ppf, chi2.ppf) to 1e-8.

    python3 interval.py        (Debian: python3-scipy, python3-mpmath)
"""
import csv
import mpmath as mp
import scipy
from scipy import stats

mp.mp.dps = 60


def t_cdf(x, free):
    tail = mp.betainc(mp.mpf(free) / 2, mp.mpf(1) / 2, 0, free / (free + x * x), regularized=True) / 2
    return 1 - tail if x > 0 else tail


def chi2_cdf(x, free):
    return mp.gammainc(mp.mpf(free) / 2, 0, x / 2, regularized=True)


def quantile(cdf, p, free, guess):
    x = mp.findroot(lambda x: cdf(x, free) - mp.mpf(p), (guess * 0.999, guess * 1.001), solver="anderson", tol=1e-40)
    assert abs(x / guess - 1) < 1e-8, (p, free, x, guess)
    return mp.nstr(x, 20)


with open("interval.csv", "w", newline="") as f:
    f.write(f"# mpmath {mp.__version__} (60 digits), agreeing with scipy {scipy.__version__} to 1e-8; see interval.py\n")
    w = csv.writer(f)
    w.writerow(["p", "free", "t", "chi2"])
    for free in [1, 2, 3, 4, 5, 6, 9, 10, 17, 30, 49, 100, 199, 400]:
        for p in [0.001, 0.025, 0.05, 0.3, 0.7, 0.95, 0.975, 0.995, 0.9999]:
            w.writerow([repr(p), free,
                        quantile(t_cdf, p, free, float(stats.t.ppf(p, free))),
                        quantile(chi2_cdf, p, free, float(stats.chi2.ppf(p, free)))])
