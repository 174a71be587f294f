"""Which numbers a model can be asked at all: the guards at the door of every formula."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import isfinite

from bendwright.findings import Finding, OutOfRangeError, found


def _refuse(findings: Iterable[Finding]) -> None:
    """Raise OutOfRangeError when there is anything to say."""
    collected = tuple(findings)
    if collected:
        raise OutOfRangeError(collected)


def _wrong(values: dict[str, float], fits: Callable[[float], bool]) -> list[tuple[str, float]]:
    """Names and numbers that are no finite number or do not fit."""
    return [(name, value) for name, value in values.items() if not (isfinite(value) and fits(value))]


def positive(**values: float) -> None:
    """Refuse every value that is not a finite number above 0 (OutOfRangeError, R101)."""
    _refuse(found("R101", where=name, name=name, value=value) for name, value in _wrong(values, lambda x: x > 0))


def not_negative(**values: float) -> None:
    """Refuse every value that is not a finite number of 0 or more (OutOfRangeError, R102)."""
    _refuse(found("R102", where=name, name=name, value=value) for name, value in _wrong(values, lambda x: x >= 0))


def within(low: float, high: float, /, **values: float) -> None:
    """Refuse every value outside ``low`` to ``high``, ends included (OutOfRangeError, R103)."""
    wrong = _wrong(values, lambda x: low <= x <= high)
    _refuse(found("R103", where=name, name=name, value=value, low=low, high=high) for name, value in wrong)


def one_of(allowed: Iterable[str], /, **values: str) -> None:
    """Refuse every word that is not in ``allowed`` (OutOfRangeError, R106)."""
    words = tuple(allowed)
    wrong = [(name, value) for name, value in values.items() if value not in words]
    _refuse(found("R106", where=name, name=name, value=value, allowed=", ".join(words)) for name, value in wrong)
