"""Writes the reference tables beside this file.

Values: mpmath 1.2.1 with 400 digits, from the textbook formulas. Each is
compared here with scipy 1.10.1 (scipy.special.erfcx, ndtr, ndtri and
scipy.stats.exponnorm); where scipy 1.10.1 itself keeps the digits they must
agree to 1e-9, and the script prints how many of them did.

    python3 reference.py        (Debian: python3-scipy, python3-mpmath)
"""
import csv
import itertools
import mpmath as mp
import scipy
from scipy import special, stats

mp.mp.dps = 400
HEAD = f"# mpmath {mp.__version__} (400 digits), compared with scipy {scipy.__version__}; see reference.py\n"
agreed, apart = 0, 0


def compare(ours, theirs, where):
    global agreed, apart
    if theirs == 0 or ours == 0 or abs(theirs) < 1e-290:
        return
    if abs(mp.mpf(float(theirs)) / ours - 1) < mp.mpf("1e-9"):
        agreed += 1
    else:
        apart += 1
        print("apart", where, mp.nstr(ours, 12), theirs)


def cell(x):
    return mp.nstr(x, 20)


def erfcx(x):
    x = mp.mpf(x)
    return mp.exp(x * x) * mp.erfc(x)


def normal(x):
    return mp.erfc(-mp.mpf(x) / mp.sqrt(2)) / 2


def emg(x, mu, sigma, tau):
    """pdf, cdf, sf of N(mu, sigma^2) + tau*Exp(1), tau > 0."""
    x, mu, sigma, tau = (mp.mpf(v) for v in (x, mu, sigma, tau))
    z, k = (x - mu) / sigma, sigma / tau
    pdf = mp.exp(k * k / 2 - k * z) * normal(z - k) / tau
    cdf = normal(z) - tau * pdf
    sf = normal(-z) + tau * pdf
    return pdf, cdf, sf


with open("erfcx.csv", "w", newline="") as f:
    f.write(HEAD)
    w = csv.writer(f)
    w.writerow(["x", "erfcx"])
    for x in [-26, -12.5, -5, -2, -1, -0.5, -1e-3, -1e-12, 0.0, 1e-12, 1e-3, 0.25, 0.5, 0.84375, 1.0, 1.25, 2.0, 2.857,
              4.0, 5.9, 6.1, 8.0, 10.0, 11.5, 11.99999, 12.0, 12.00001, 13.0, 20.0, 26.5, 28.0, 50.0, 1e3, 1e8, 1e100]:
        v = erfcx(x)
        compare(v, special.erfcx(x), ("erfcx", x))
        w.writerow([repr(x), cell(v)])

with open("normal.csv", "w", newline="") as f:
    f.write(HEAD)
    w = csv.writer(f)
    w.writerow(["x", "cdf"])
    for x in [-1e5, -1000, -200.5, -60, -38.5, -37.5, -30, -20, -12.25, -10, -8, -6, -5, -4, -3, -2.5, -1.96, -1.0, -0.5,
              -1e-8, 0.0, 1e-8, 0.5, 1.0, 1.4, 1.959963984540054, 3.0, 5.0, 8.0, 10.0, 20.0, 37.0]:
        mp.mp.dps = 400 if x > -300 else 40
        c = normal(x)
        compare(c, special.ndtr(x), ("ndtr", x))
        w.writerow([repr(x), cell(c)])
    mp.mp.dps = 400

with open("quantile.csv", "w", newline="") as f:
    f.write(HEAD)
    w = csv.writer(f)
    w.writerow(["p", "quantile"])
    for p in [1e-300, 1e-100, 1e-30, 1e-16, 1e-12, 1e-9, 1e-6, 1e-4, 0.001, 0.01, 0.025, 0.05, 0.0749, 0.0751, 0.1, 0.25,
              0.4999, 0.5, 0.5001, 0.75, 0.9, 0.9249, 0.9251, 0.95, 0.975, 0.99, 0.999, 0.9999, 0.999999, 1 - 1e-12]:
        guess = mp.mpf(float(special.ndtri(p)))
        q = mp.findroot(lambda x: mp.log(normal(x)) - mp.log(mp.mpf(p)), guess)
        compare(q, special.ndtri(p), ("ndtri", p))
        w.writerow([repr(p), cell(q)])

with open("emg.csv", "w", newline="") as f:
    f.write(HEAD)
    w = csv.writer(f)
    w.writerow(["x", "mu", "sigma", "tau", "pdf", "cdf", "sf"])
    rows = []
    # beyond ±38 the probabilities underflow
    zs = [-1000.0, -200.0, -60.0, -38.5, 38.5, 60.0, 200.0, 1000.0, -36.5, -30.0, -17.25, -12.0, -8.0, -5.0, -3.0, -1.5, -0.5, -1e-4, 0.0, 1e-4, 0.5, 1.5, 3.0, 5.0, 8.0, 12.0, 17.25, 30.0, 36.5]
    taus = [1e-9, 1e-4, 0.003, 0.05, 0.3, 1.0, 3.0, 20.0, 400.0, 999.0, 1001.0, 1e5, 1e9]
    for z, tau in itertools.product(zs, taus):
        rows.append((z, 0.0, 1.0, tau))
    # coins in grams: a bronze cent, a silver quarter, a silver dollar, seen
    # from below as their wear is
    for mu, sigma, tau in [(-3.11, 0.043, 0.03), (-6.25, 0.033, 0.19), (-26.73, 0.0324, 1.2), (-2.5, 0.0333, 0.004)]:
        for t in [-12, -6, -3, -1, 0, 1, 3, 6, 20, 200]:
            rows.append((mu + t * sigma, mu, sigma, tau))
    for x, mu, sigma, tau in rows:
        pdf, cdf, sf = emg(x, mu, sigma, tau)
        w.writerow([repr(x), repr(mu), repr(sigma), repr(tau)] + [cell(v) for v in (pdf, cdf, sf)])
        k = sigma / tau
        d = stats.exponnorm(1 / k, loc=mu, scale=sigma)
        # scipy 1.10.1 takes k*k/2 - k*z in full and, for cdf, the difference
        # of two probabilities: it keeps nine digits only where neither is big.
        if k < 1e3 and abs(k * (x - mu) / sigma) < 1e3:
            compare(pdf, d.pdf(x), ("pdf", x, mu, sigma, tau))
            compare(sf, d.sf(x), ("sf", x, mu, sigma, tau))
            if cdf > normal((x - mu) / sigma) / 1000:
                compare(cdf, d.cdf(x), ("cdf", x, mu, sigma, tau))

print(f"{agreed} values agree with scipy to 1e-9, {apart} do not")
