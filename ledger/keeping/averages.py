"""Averages of a few figures. `statistics` would load decimals and fractions at every start."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def median(figures: Iterable[int]) -> float:
    """The middle figure, or the mean of the two in the middle."""
    ranked = sorted(figures)
    middle = len(ranked) // 2
    return (ranked[middle] + ranked[-middle - 1]) / 2


def mean(figures: Sequence[float]) -> float:
    """The mean."""
    return sum(figures) / len(figures)


def variance(figures: Sequence[float]) -> float:
    """The mean of the squares by which figures are off their mean."""
    middle = mean(figures)
    return sum((figure - middle) ** 2 for figure in figures) / len(figures)
