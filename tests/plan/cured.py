"""Parts that cannot be made, looked at for cures: the jobs, the sums by hand and the planner's own answers.

Under the punch, at the loaded turned angle a, a corner b along a leg and h above it stands b cos(a/2) - h sin(a/2) beside
the centre line and b sin(a/2) + h cos(a/2) above it (sharp bend; the radius moves it by some hundredths of a millimetre).
"""

from __future__ import annotations

from functools import cache
from math import cos, radians, sin

import pytest

from bendwright.findings import NotPossibleError
from bendwright.part.aim import aimed
from bendwright.part.model import Bend, Flange, Header, Part
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.cures.of_refusal import cures_of_refusal
from bendwright.plan.cures.records import Cure, CureKind, Cures, Others
from bendwright.shop.sheet import Sheet
from shop_talk import SHOP, panel, profile, sheet

HALF = radians(91.0 / 2.0)
"""Half the turned angle under load: 90 and 1 degree of springback."""
ALL = Others(dies=SHOP.cabinet.dies, punches=SHOP.cabinet.punches, brakes=tuple(SHOP.brakes.values()))
SIZE_MM = 0.06
"""The twentieth of a millimetre sizes are found to, and the radius left out."""
LONG_S = 600.0


def beside(b: float, h: float) -> float:
    """Where the corner (b, h) stands beside the centre line [mm]."""
    return b * cos(HALF) - h * sin(HALF)


def tooling(sheet_used: Sheet, *, brake: str = "M1", die: str | None = None, punches: str = "") -> Tooling:
    """The shop's tools as a person fixes them; no punches named: all."""
    names = punches.split()
    air = [punch for punch in SHOP.cabinet.punches if punch.kind != "flattening"]
    return Tooling(
        dies=tuple(d for d in SHOP.cabinet.dies if d.kind == "vee" and die in (None, d.id)),
        punches=tuple(punch for punch in air if not names or punch.id in names),
        sheet=sheet_used,
        practice=SHOP.practice,
        brake=SHOP.brakes[brake],
        bend_table=SHOP.bend_table,
        wished_die=die,
    )


def solves(part: Part, tools: Tooling) -> bool:
    """The planner's own answer."""
    try:
        choose(aimed(part), tools, quantity=1)
    except NotPossibleError:
        return False
    return True


def refusal(part: Part, tools: Tooling) -> NotPossibleError:
    """What the planner says against the part."""
    with pytest.raises(NotPossibleError) as caught:
        choose(aimed(part), tools, quantity=1)
    return caught.value


def sentences(error: NotPossibleError) -> list[str]:
    """The sentences of a refusal."""
    return [finding.sentence for finding in error.findings]


def looked(part: Part, tools: Tooling, *, most: int | None = None) -> Cures:
    """The cures of a refused part, with all the shop has."""
    error = refusal(part, tools)
    return cures_of_refusal(part, tools, error, shop=SHOP, solves=solves, seconds=LONG_S, most_solves=most)


def of_kind(cures: Cures, kind: CureKind) -> list[Cure]:
    """The cures of one kind."""
    return [cure for cure in cures.cures if cure.kind == kind]


def changed_by(cures: Cures, words: str) -> Cure:
    """The cure whose sentence begins so."""
    return next(cure for cure in cures.cures if cure.sentence.startswith(words))


def assert_solved_again(cures: Cures) -> None:
    """Every cure told makes the job possible, and ranks run on."""
    assert cures.cures
    assert [cure.rank for cure in cures.cures] == list(range(1, len(cures.cures) + 1))
    for cure in cures.cures:
        assert cure.verified
        assert solves(cure.part, cure.tooling), cure.sentence


TRAY = profile("50 u90 60 u90 50 x 2000")
TRAY_TOOLS = tooling(sheet("DX51D+Z", "1.5", "1.50"), die="V12", punches="P1")


@cache
def tray() -> Cures:
    """A channel too narrow for the straight punch."""
    return looked(TRAY, TRAY_TOOLS)


def box(leg: float) -> Part:
    """A tray with open corners and walls of that leg."""
    return panel(
        "panel:\n  base: {width: 180, depth: 120}\n  flanges:\n"
        f"    - {{edge: [front, right, back, left], leg: {leg:g}, direction: up}}\n"
    )


ALUMINIUM = tooling(sheet("EN AW-5754 H111", "1.5", "1.50"), brake="M2", die="V12", punches="P1")


def two_tabs() -> Part:
    """Tabs of 160 and 120 at the ground of notches 166 and 126 wide: every stack is bounded by the sheet beside it."""
    front = ((0.0, 0.0), (20.0, 0.0), (20.0, 40.0), (186.0, 40.0), (186.0, 0.0), (206.0, 0.0))
    back = ((206.0, 200.0), (166.0, 200.0), (166.0, 160.0), (40.0, 160.0), (40.0, 200.0), (0.0, 200.0))
    turned = {"turned_deg": 90.0, "direction": "up", "parent": "base"}
    return Part(
        header=Header(part_no="T-5", revision="A"),
        flanges=(
            Flange(id="base", outline=(*front, *back)),
            Flange(id="a", outline=((0.0, 0.0), (160.0, 0.0), (160.0, 30.0), (0.0, 30.0))),
            Flange(id="b", outline=((0.0, 0.0), (120.0, 0.0), (120.0, 30.0), (0.0, 30.0))),
        ),
        bends=(
            Bend(id="b1", child="a", start=(23.0, 40.0), end=(183.0, 40.0), **turned),  # type: ignore[arg-type]
            Bend(id="b2", child="b", start=(163.0, 160.0), end=(43.0, 160.0), **turned),  # type: ignore[arg-type]
        ),
    )
