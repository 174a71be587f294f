"""One line of the report: one number held against one limit, with rule, source, place and the smallest change that cures it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from shapely.errors import ShapelyError

from bendwright.findings import BendwrightError
from bendwright.said import say, unstopped
from bendwright.stroke.result import Check, Verdict

Group = Literal["blank", "flange", "feature", "radius", "corner", "machine", "handling", "face", "size"]
GROUPS: tuple[Group, ...] = (
    "blank",
    "flange",
    "feature",
    "radius",
    "corner",
    "machine",
    "handling",
    "face",
    "size",
)
Bound = Literal["least", "most", "none"]
PRACTICE = "common practice, no source"
SAME_SHARE = 1e-6
ORDER: dict[Verdict, int] = {"no": 0, "watch": 1, "ok": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """The smallest change that lets the rule be kept: in words, and by how much in ``unit`` (None: not a matter of size)."""

    sentence: str
    amount: float | None = None
    unit: Literal["mm", "deg", ""] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One number against one limit. ``value`` None = not known, and ``note`` says why; ``bound`` says whether the limit is the
    least or the most allowed. ``places`` are where it was found, several where all is alike.
    """

    group: Group
    what: str
    places: tuple[str, ...]
    value: float | None
    limit: float | None
    unit: str
    bound: Bound
    rule: str
    source: str
    verdict: Verdict
    note: str = ""
    fix: Fix | None = None

    @property
    def short_by(self) -> float | None:
        """How far the limit is missed, in ``unit``; None where nothing is missed or not known."""
        if self.value is None or self.limit is None or self.bound == "none":
            return None
        missed = self.limit - self.value if self.bound == "least" else self.value - self.limit
        return missed if missed > 0.0 else None


def from_check(
    check: Check,
    group: Group,
    place: str,
    *,
    bound: Bound,
    fix: Fix | None = None,
    what: str | None = None,
    note: str = "",
) -> Line:
    """A check of a stroke as a line."""
    known = check.value == check.value
    return Line(
        group=group,
        what=what or check.name,
        places=(place,),
        value=check.value if known else None,
        limit=check.limit,
        unit=check.unit,
        bound=bound,
        rule=check.rule,
        source=check.source,
        verdict=check.verdict,
        note=note,
        fix=fix if check.verdict != "ok" else None,
    )


def unknown(group: Group, what: str, place: str, why: str, *, verdict: Verdict = "watch") -> Line:
    """What could not be worked out, and why."""
    return Line(
        group=group,
        what=what,
        places=(place,),
        value=None,
        limit=None,
        unit="",
        bound="none",
        rule="not known",
        source="",
        verdict=verdict,
        note=unstopped(why),
    )


def guarded(group: Group, what: str, place: str, lines: Iterable[Line]) -> Iterator[Line]:
    """The lines as they come; where the next one cannot be worked out, a line that says so ends them."""
    try:
        yield from lines
    except BendwrightError as error:
        yield unknown(group, what, place, error.findings[0].sentence)
    except (ArithmeticError, ValueError, LookupError, ShapelyError) as error:
        yield unknown(group, what, place, say("line.not_worked_out", name=type(error).__name__, error=error))


def worst(lines: Iterable[Line]) -> Verdict:
    """The worst verdict of the lines; ok where there are none."""
    return min((line.verdict for line in lines), key=ORDER.__getitem__, default="ok")


def merged(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Lines that say the same of several places, said once; by group, the worst first, then by how far the limit is missed."""
    out: list[Line] = []
    for line in lines:
        twin = next((i for i, other in enumerate(out) if _alike(line, other)), None)
        if twin is None:
            out.append(line)
        else:
            places = tuple(dict.fromkeys((*out[twin].places, *line.places)))
            out[twin] = replace(out[twin], places=places)
    return tuple(sorted(out, key=lambda line: (GROUPS.index(line.group), ORDER[line.verdict], -_missed_share(line))))


def _missed_share(line: Line) -> float:
    missed = line.short_by
    return 0.0 if missed is None or not line.limit else missed / abs(line.limit)


def _alike(a: Line, b: Line) -> bool:
    words = ("group", "what", "unit", "bound", "rule", "source", "verdict", "note")
    if any(getattr(a, name) != getattr(b, name) for name in words):
        return False
    fixes = (a.fix.sentence if a.fix else "", b.fix.sentence if b.fix else "")
    return fixes[0] == fixes[1] and _same(a.value, b.value) and _same(a.limit, b.limit)


def _same(a: float | None, b: float | None) -> bool:
    if a is None or b is None:
        return a is b
    return abs(a - b) <= SAME_SHARE * max(1.0, abs(a), abs(b))
