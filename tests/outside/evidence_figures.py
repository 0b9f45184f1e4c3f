"""Prints what scipy and statsmodels make of the counts that the test asks about, one line each:
`wilson HITS OF LEAST GREATEST`, `dprime HITS SIGNALS ALARMS NOISE D C`, `quartiles A B C VALUES...`.
"""

import sys

try:
    from scipy.stats import norm
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
            print("dprime", hits, signals, alarms, noise, hit - alarm, -(hit + alarm) / 2)

for values in ([3.5], [1.0, 2.0], [4.0, 1.0, 3.0, 2.0, 9.5], [0.7, 20.0, 3.1, 3.1, 5.0, 8.25]):
    print("quartiles", *numpy.percentile(values, [25, 50, 75]), *values)
