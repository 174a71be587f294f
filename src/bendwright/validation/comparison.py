"""One outside value against one answer of ours, and how such numbers are written.

Numbers are rounded so that the last digits of a computer's arithmetic never change a page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from bendwright.mechanics.record import Origin

Kind = Origin | Literal["computed"]
_NUDGE = 3e-11


@dataclass(frozen=True, slots=True)
class Limit:
    """How far an answer may lie from the outside value: in its unit, or as a share of it when ``relative``."""

    amount: float
    relative: bool = False

    def of(self, outside: float) -> float:
        """The difference allowed at that value, in its unit."""
        return self.amount * abs(outside) if self.relative else self.amount

    def text(self, unit: str) -> str:
        """``5 %`` or ``0.05 mm``."""
        return f"{100.0 * self.amount:g} %" if self.relative else f"{self.amount:g} {unit}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """One outside value, its own doubt (0: as printed), and what one model answers.

    ``model`` is the id of a record, with a few words in brackets where the same record is asked in several ways.
    ``warning`` marks an answer asked for as a warning only: by a way of which it is known that it leaves out too much.
    """

    model: str
    case: str
    quantity: str
    unit: str
    outside: float
    ours: float
    limit: Limit
    doubt: float = 0.0
    warning: bool = False

    @property
    def difference(self) -> float:
        """Ours minus outside."""
        return self.ours - self.outside

    @property
    def within(self) -> bool:
        """True when the difference is no larger than its limit."""
        return abs(self.difference) <= self.limit.of(self.outside)

    @property
    def record_id(self) -> str:
        """The id of the record behind the model."""
        return self.model.split(" (")[0]

    def difference_text(self) -> str:
        """The difference, in percent where the limit is, else in the unit."""
        if self.limit.relative and self.outside:
            return percent(self.difference / self.outside)
        return signed(self.difference, like=self.outside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """Outside values of one source with all answers to them.

    ``weight`` says what the source can show and what not, ``reasons`` why answers of a model (by the words in
    ``Comparison.model``) lie outside their limit. ``pictures`` are names and titles of the
    plots that belong beside the table.
    """

    key: str
    title: str
    source: str
    kind: Kind
    weight: str
    comparisons: tuple[Comparison, ...]
    reasons: Mapping[str, str] = field(default_factory=dict)
    pictures: Mapping[str, str] = field(default_factory=dict)

    @property
    def outside_limit(self) -> tuple[Comparison, ...]:
        """Every answer that lies farther off than its limit."""
        return tuple(one for one in self.comparisons if not one.within)

    def reason(self, model: str) -> str:
        """Why answers of that model lie outside their limit; says so when nobody has found out yet."""
        return self.reasons.get(model, "Not explained yet.")


def shown(value: float) -> str:
    """Five significant digits."""
    text = f"{value * (1.0 + _NUDGE):.5g}"
    return "0" if float(text) == 0.0 else text


def signed(difference: float, *, like: float) -> str:
    """A difference with as many decimals as five digits of ``like`` have."""
    exponent = int(f"{like:e}".split("e")[1]) if like else 0
    decimals = max(0, 4 - exponent)
    text = f"{difference + _NUDGE * abs(like):+.{decimals}f}"
    return "0" if float(text) == 0.0 else text


def percent(share: float) -> str:
    """``+3.1 %``."""
    text = f"{100.0 * share + 1e-8:+.1f}"
    return "0.0 %" if float(text) == 0.0 else f"{text} %"
