"""The signs of a fit weighed anew: logistic regression over cases; prints the table of `fit.toml`.

python -m tests.led.weighing [VOICE ...]
"""

from __future__ import annotations

import sys

import numpy as np
from scipy.optimize import minimize

from articulators.curves import Array
from tests.led.cases import Case, cases
from tests.led.voices import VOICES

OTHERS, SEED = 4, 11
FOLDS = 8


def weighed(x: Array, right: Array) -> Array:
    """Weights (k + 1,), the last that of one, of standardised signs (n, k); both kinds of cases count alike."""
    ones = np.column_stack([x, np.ones(len(x))])
    share = np.where(right, 0.5 / right.mean(), 0.5 / (1 - right.mean()))
    sign = np.where(right, -1.0, 1.0)

    def cost(weights: Array) -> float:
        return float(np.sum(share * np.logaddexp(0, sign * (ones @ weights))) + 0.5 * weights[:-1] @ weights[:-1])

    return np.asarray(minimize(cost, np.zeros(ones.shape[1]), method="L-BFGS-B").x)


def main() -> int:
    """Command line."""
    made = list(cases(tuple(sys.argv[1:]) or (*VOICES, "man", "woman"), OTHERS, SEED))
    found = [case for case in made if case.signs is not None]
    names = list(found[0].signs or ())
    x = np.array([[(case.signs or {})[name] for name in names] for case in found])
    right = np.array([case.said == case.taken for case in found])
    mean, scale = x.mean(axis=0), x.std(axis=0)
    x = (x - mean) / scale
    texts = sorted({case.said for case in found})
    fold = np.array([texts.index(case.said) % FOLDS for case in found])
    sums = np.zeros(len(x))
    for number in range(FOLDS):
        weights = weighed(x[fold != number], right[fold != number])
        sums[fold == number] = x[fold == number] @ weights[:-1] + weights[-1]
    weights = weighed(x, right)
    rights = sum(case.said == case.taken for case in made)
    print(f"# {rights} right, {len(made) - rights} others; from_sum: right refused, others taken (texts left out)")
    for limit in np.percentile(sums[right], [0.5, 1, 2, 3, 4, 5]):
        refused = 1 - np.sum(sums[right] >= limit) / rights
        print(f"# {limit:6.2f}: {refused:.2%} {np.sum(sums[~right] >= limit) / (len(made) - rights):.2%}")
    _show([case for case, s, r in zip(found, sums, right, strict=True) if r and s < np.percentile(sums[right], 3)])
    print(f"at_first = {weights[-1]:.3f}")
    for name, m, s, w in zip(names, mean, scale, weights, strict=False):
        print(f"{name} = {{ mean = {m:.3f}, scale = {s:.3f}, weight = {w:.3f} }}")
    return 0


def _show(refused: list[Case]) -> None:
    print("# lowest right:", ", ".join(f"{case.said} ({case.voice})" for case in refused))


if __name__ == "__main__":
    sys.exit(main())
