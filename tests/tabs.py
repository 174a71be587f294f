"""A base with two tabs on one edge, bent by one stroke, and one tab on the other edge; planned once for the whole run."""

from __future__ import annotations

from functools import cache

from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Header, Part
from bendwright.stroke.result import Stroke
from shop_talk import SHOP, sheet

HEADER = Header(part_no="SM-9200", revision="A", material="DC01", thickness_mm=1.5, title="Base with three tabs")


def tabbed() -> Part:
    """Base 300 x 100, tabs 60 wide and 25 high at 40 and 200 along the front edge (b1, b2) and at 120 along the back edge (b3)."""
    base = FlatPiece(id="base", outline=((0, 0), (300, 0), (300, 100), (0, 100)))
    tabs = [FlatPiece(id=name, outline=((0, 0), (60, 0), (60, 25), (0, 25))) for name in ("t1", "t2", "t3")]
    ends = [((40.0, 0.0), (100.0, 0.0)), ((200.0, 0.0), (260.0, 0.0)), ((180.0, 100.0), (120.0, 100.0))]
    folds = [
        Fold(
            first="base",
            second=tab.id,
            on_first=there,
            on_second=((60.0, 0.0), (0.0, 0.0)),
            turned_deg=90.0,
            direction="up",
            inside_radius_mm=2.0,
        )
        for tab, there in zip(tabs, ends, strict=True)
    ]
    return part_from_flats(HEADER, (base, *tabs), folds, thickness_mm=1.5)


@cache
def planned() -> Prepared:
    """Its plan on the brake with clamps."""
    return prepare(tabbed(), sheet("DC01", "1.5"), SHOP, Wishes(brake_id="M4", die_id="V12"))


def shared() -> Stroke:
    """The stroke that makes both tabs of the front edge."""
    (stroke,) = [stroke for stroke in planned().plan.strokes if stroke.with_bends]
    assert stroke.bend_ids == ("b1", "b2")
    return stroke
