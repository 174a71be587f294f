"""The make-ability report of one part: every rule with its number, and what the worst of them says.

Nothing here raises for what a part is like: whatever cannot be worked out becomes a line that says what is not known.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from bendwright.makeable.corners import blank_lines, corner_lines
from bendwright.makeable.dies import die_lines
from bendwright.makeable.faces import Arrow, arrows_of, face_lines
from bendwright.makeable.flanges import flange_lines
from bendwright.makeable.line import ORDER, Group, Line, guarded, merged, worst
from bendwright.makeable.looked import Looked, Wanted, look
from bendwright.makeable.machines import BrakeLook, brake_looks, handling_lines
from bendwright.makeable.near_bends import feature_lines
from bendwright.makeable.no_flat import no_flat_lines
from bendwright.makeable.radii import radius_lines
from bendwright.makeable.sizes import GivenErrors, Sizes, size_lines, sizes_of
from bendwright.part.model import Header, Part
from bendwright.shop.sheet import Sheet
from bendwright.shop.shop import Shop
from bendwright.stroke.result import Verdict

Rule = Callable[[Looked], Iterable[Line]]
RULES: tuple[tuple[Group, str, Rule], ...] = (
    ("blank", "the blank", blank_lines),
    ("flange", "flanges used up by their bends", no_flat_lines),
    ("flange", "dies", die_lines),
    ("flange", "flange lengths", flange_lines),
    ("feature", "holes and slots near bends", feature_lines),
    ("radius", "inside radii", radius_lines),
    ("corner", "corners and reliefs", corner_lines),
    ("handling", "handling", handling_lines),
    ("face", "grain and faces", face_lines),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeReport:
    """What can be said of a part before anything is cut. ``dies`` are the dies taken by bend, ``brakes`` every brake with its own
    lines, ``sizes`` what errors make of the outside sizes, ``arrows`` grain and faces of every flange. ``lines`` stand by
    group, the worst first; of the brakes only those of the best one are among them.
    """

    header: Header
    sheet: Sheet
    shop_name: str
    dies: tuple[tuple[str, str], ...]
    brakes: tuple[BrakeLook, ...]
    brake_id: str | None
    sizes: Sizes | None
    arrows: tuple[Arrow, ...]
    lines: tuple[Line, ...]

    @property
    def verdict(self) -> Verdict:
        """Worst of the lines."""
        return worst(self.lines)


def make_report(
    part: Part, sheet: Sheet, shop: Shop, wishes: Wanted | None = None, *, errors: GivenErrors | None = None
) -> MakeReport:
    """Everything the report knows of the part on this sheet in this shop; ``errors`` for the sizes, else the usual ones.

    Raises InputError O104 only, for a wished brake, die or punch the shop does not have.
    """
    return report_of(look(part, sheet, shop, wishes), errors=errors)


def report_of(looked: Looked, *, errors: GivenErrors | None = None) -> MakeReport:
    """The report of a part already looked at."""
    lines = [line for group, what, rule in RULES for line in guarded(group, what, "part", rule(looked))]
    brakes = brake_looks(looked)
    sizes = _sizes(looked, errors, lines)
    lines += size_lines(looked, sizes)
    best = _best(brakes, looked)
    taken = looked.taken
    return MakeReport(
        header=looked.drawn.header,
        sheet=looked.sheet,
        shop_name=looked.shop.name,
        dies=_dies(looked),
        brakes=brakes,
        brake_id=best.brake_id if best else None,
        sizes=sizes,
        arrows=arrows_of(taken.part, taken.blank, looked.sheet) if taken else (),
        lines=merged([*lines, *(best.lines if best else ())]),
    )


def _sizes(looked: Looked, errors: GivenErrors | None, lines: list[Line]) -> Sizes | None:
    """The sizes; where they cannot be worked out None, and a line more says so."""
    found: list[Sizes | None] = []

    def work() -> Iterator[Line]:
        found.append(sizes_of(looked, errors))
        yield from ()

    lines += guarded("size", "outside sizes", "part", work())
    return found[0] if found else None


def _best(brakes: Iterable[BrakeLook], looked: Looked) -> BrakeLook | None:
    """The brake with the mildest verdict and the fewest lines to say no or watch; among equals the one the blank was laid out for."""

    def key(item: BrakeLook) -> tuple[int, int, bool]:
        bad = sum(1 for line in item.lines if line.verdict != "ok")
        return (-ORDER[item.verdict], bad, item.brake_id != looked.tooling.brake.id)

    return min(brakes, key=key, default=None)


def _dies(looked: Looked) -> tuple[tuple[str, str], ...]:
    if looked.taken is None:
        return ()
    return tuple((bend.id, die.id) for bend, die in zip(looked.taken.part.bends, looked.taken.dies, strict=True))
