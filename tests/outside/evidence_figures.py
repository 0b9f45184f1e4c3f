"""Prints what scipy and statsmodels make of the counts that the test asks about, one line each:
`wilson HITS OF LEAST GREATEST`, `dprime HITS SIGNALS ALARMS NOISE D C HALF_D HALF_C`,
`quartiles A B C VALUES...`, `clustered LEAST GREATEST KEPT OF KEPT OF...`,
`chance HERE CHANCES ELSEWHERE CHANCES` for each of two kinds, and `P`.
"""

import sys

try:
    from scipy.stats import nbinom, norm, t
    from statsmodels.regression.linear_model import OLS
    from statsmodels.stats.proportion import proportion_confint
    import numpy
except ImportError:
    sys.exit(
        "scipy and statsmodels are missing: "
        "run `python3 -m pip install -r tests/requirements.txt` first."
    )

# statsmodels takes the exact quantile; ours is the customary 1.96, so the same is asked for here.
ALPHA = 2 * norm.sf(1.96)
for of in (1, 2, 7, 8, 20, 100, 333):
    for hits in sorted({0, 1, of // 3, of // 2, of - 1, of}):
        least, greatest = proportion_confint(hits, of, alpha=ALPHA, method="wilson")
        print("wilson", hits, of, repr(float(least)), repr(float(greatest)))

for signals, noise in ((8, 8), (25, 25), (100, 40), (7, 300)):
    for hits in (0, signals // 3, signals - 1, signals):
        for alarms in (0, noise // 5, noise):
            hit = norm.ppf((hits + 0.5) / (signals + 1))
            alarm = norm.ppf((alarms + 0.5) / (noise + 1))
            # The delta method, with the quantile function's slope taken numerically.
            def variance(yes, of):
                p, h = (yes + 0.5) / (of + 1), 1e-6
                slope = (norm.ppf(p + h) - norm.ppf(p - h)) / (2 * h)
                return slope**2 * p * (1 - p) / (of + 1)

            half = 1.96 * (variance(hits, signals) + variance(alarms, noise)) ** 0.5
            numbers = (hit - alarm, -(hit + alarm) / 2, half, half / 2)
            print("dprime", hits, signals, alarms, noise, *numbers)

for values in ([3.5], [1.0, 2.0], [4.0, 1.0, 3.0, 2.0, 9.5], [0.7, 20.0, 3.1, 3.1, 5.0, 8.25]):
    print("quartiles", *numpy.percentile(values, [25, 50, 75]), *values)

# The variance that children's own spread gives: statsmodels' robust one of a mean, clustered by child.
for children in (
    [(8, 10), (9, 10), (2, 10)],
    [(5, 12), (7, 9)],
    [(1, 30), (20, 22), (9, 18), (3, 3)],
    [(4, 8), (4, 8), (4, 8)],
):
    kept = numpy.concatenate([[1.0] * k + [0.0] * (n - k) for k, n in children])
    child = numpy.concatenate([[i] * n for i, (_, n) in enumerate(children)])
    n, m = len(kept), len(children)
    fit = OLS(kept, numpy.ones(n)).fit(cov_type="cluster", cov_kwds={"groups": child})
    # Its small-sample correction is m / (m - 1) times (n - 1) / (n - 1) for a mean alone.
    variance = fit.bse[0] ** 2
    share = kept.mean()
    worth = min(n, share * (1 - share) / variance) if variance > 1e-12 else n
    worth *= (1.96 / t.ppf(norm.cdf(1.96), m - 1)) ** 2
    least, greatest = proportion_confint(share * worth, worth, alpha=ALPHA, method="wilson")
    counts = [one for pair in children for one in pair]
    print("clustered", repr(float(least)), repr(float(greatest)), *counts)

# Weighted sums of two negative binomial numbers, scipy's, over a grid that leaves out less than 1e-12.
GRID = numpy.arange(2_000)
for kinds in (
    ((2, 10.0, 0, 190.0), (0, 4.5, 0, 60.0)),
    ((1, 3.0, 0, 400.0), (1, 2.25, 9, 120.0)),
    ((0, 8.0, 3, 192.0), (3, 6.0, 12, 150.5)),
    ((3, 30.0, 12, 120.0), (2, 20.0, 7, 180.0)),
    ((2, 2.0, 40, 20.0), (1, 1.0, 1, 50.0)),
):
    laws, weights = [], []
    for here, chances, elsewhere, others in kinds:
        laws.append(nbinom(elsewhere + 0.5, others / (chances + others)).pmf(GRID))
        weights.append(max(numpy.log1p(others / (elsewhere + 0.5)), 0.1))
    sums = weights[0] * GRID[:, None] + weights[1] * GRID[None, :]
    seen = weights[0] * kinds[0][0] + weights[1] * kinds[1][0]
    tail = (laws[0][:, None] * laws[1][None, :])[sums >= seen - 1e-9].sum()
    print("chance", *kinds[0], *kinds[1], repr(float(tail)))
