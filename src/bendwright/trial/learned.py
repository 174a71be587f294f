"""What the shop knows after several pieces: number, mean and spread of a deduction or a springback."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from bendwright.findings import InputError, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Number of values, their mean and sample standard deviation (None for a single value), in their unit."""

    count: int
    mean: float
    spread: float | None


def learn(values: Sequence[float]) -> Learned:
    """Number, mean and spread of measured values; InputError T116 for none."""
    if not values:
        raise InputError(found("T116", where="values"))
    return Learned(count=len(values), mean=fmean(values), spread=stdev(values) if len(values) > 1 else None)
