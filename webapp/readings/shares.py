"""A share of a few dives and how little it proves: the Wilson score interval."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist


def wilson(count: int, of: int, confidence: float) -> tuple[float, float]:
    """Return the lowest and highest share that agree with `count` of `of` (at least one) independent trials.

    Wilson, Journal of the American Statistical Association 1927;22:209-212, from memory; without a correction for
    continuity.
    """
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, widened = count / of, z * z / of
    middle = (share + widened / 2) / (1 + widened)
    half = z * sqrt(share * (1 - share) / of + widened / of / 4) / (1 + widened)
    return max(0.0, middle - half), min(1.0, middle + half)
