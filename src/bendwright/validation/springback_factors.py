"""The one printed table of springback factors, held against an ideally plastic sheet as a trend, not as a measure.

kR is the angle of the finished piece over that of the tool, bending over a former. Tempers are not printed and clearly
mixed: the yield that fits the stainless row is a spring's. So each row lends the model the yield that fits it best, and
only the way the factor falls with the radius is judged.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from math import sqrt

from bendwright.mechanics.springback import former_ratio

LEAST_CORRELATION = 0.95
MOST_YIELD_MPA = 1500


@dataclass(frozen=True, slots=True, kw_only=True)
class FactorRow:
    """One material: r2/s, the printed factors, the model's with the yield that fits, and how they go together."""

    material: str
    radius_over_thickness: tuple[float, ...]
    printed: tuple[float, ...]
    ours: tuple[float, ...]
    yield_mpa: int

    @property
    def rank_correlation(self) -> float:
        """Spearman's correlation of printed and own factors, ties at their mean rank; 1 is the same order."""
        return rank_correlation(self.printed, self.ours)

    @property
    def falls(self) -> bool:
        """True when both fall from the smallest to the largest radius."""
        return self.printed[-1] < self.printed[0] and self.ours[-1] < self.ours[0]

    @property
    def largest_difference(self) -> float:
        """Ours minus printed where it is largest in size."""
        return max((own - book for own, book in zip(self.ours, self.printed, strict=True)), key=abs)

    @property
    def trend_holds(self) -> bool:
        """True when both fall and go together."""
        return self.falls and self.rank_correlation >= LEAST_CORRELATION


def factor_rows() -> tuple[FactorRow, ...]:
    """Every row of the table."""
    text = resources.files("bendwright.validation").joinpath("data/springback_factors.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    head, *rows = csv.reader(lines)
    return tuple(_row(head[2:], row) for row in rows)


def _row(heads: Sequence[str], cells: Sequence[str]) -> FactorRow:
    """One line of the file with the yield that fits it best."""
    pairs = [(float(head), float(cell)) for head, cell in zip(heads, cells[2:], strict=True) if cell]
    ratios, printed = tuple(pair[0] for pair in pairs), tuple(pair[1] for pair in pairs)
    modulus = float(cells[1])
    yield_mpa = _best_yield(ratios, printed, modulus)
    return FactorRow(
        material=cells[0],
        radius_over_thickness=ratios,
        printed=printed,
        ours=_factors(ratios, modulus, yield_mpa),
        yield_mpa=yield_mpa,
    )


def _factors(ratios: Sequence[float], modulus: float, yield_mpa: float) -> tuple[float, ...]:
    """The model's factor at each r2/s."""
    sheet = {"thickness_mm": 1.0, "yield_mpa": yield_mpa, "youngs_modulus_mpa": modulus, "poisson": 0.3}
    return tuple(former_ratio(finished_radius_mm=ratio, **sheet) for ratio in ratios)


def _best_yield(ratios: Sequence[float], printed: Sequence[float], modulus: float) -> int:
    """Whole MPa of least squared difference; the sum has one valley, which is closed in on from both sides."""

    def badness(yield_mpa: int) -> float:
        ours = _factors(ratios, modulus, float(yield_mpa))
        return sum((own - book) ** 2 for own, book in zip(ours, printed, strict=True))

    low, high = 1, MOST_YIELD_MPA
    while high > low:
        middle = (low + high) // 2
        low, high = (low, middle) if badness(middle) <= badness(middle + 1) else (middle + 1, high)
    return low


def rank_correlation(one: Sequence[float], other: Sequence[float]) -> float:
    """Spearman: the correlation of the ranks, ties sharing their mean rank."""
    a, b = _ranks(one), _ranks(other)
    mean = (len(a) + 1) / 2.0
    product = sum((x - mean) * (y - mean) for x, y in zip(a, b, strict=True))
    return product / sqrt(sum((x - mean) ** 2 for x in a) * sum((y - mean) ** 2 for y in b))


def _ranks(values: Sequence[float]) -> list[float]:
    """Rank of each value from 1, ties at their mean."""
    return [sum(v < value for v in values) + (sum(v == value for v in values) + 1) / 2.0 for value in values]
