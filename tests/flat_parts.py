"""Parts as they come out of models: flat pieces and folds, windows over a bend, mitred ends, arcs, hems. Built by hand."""

from __future__ import annotations

from bendwright.part.contour import arc_points
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Arc, Circle, Cutout, Header, Part, Point, Slot, ZonePiece

HEADER = Header(
    part_no="SM-9100", revision="B", material="S235JR", thickness_mm=2.0, visible_side="bottom", grain="along_x"
)


def bow_cutout(centre: Point, radius_mm: float) -> Cutout:
    """A half-moon window: a half circle closed by its chord."""
    points = arc_points(centre, radius_mm, 0.0, 3.141592653589793)
    return Cutout(points=tuple(points), name="moon", arcs=(Arc(centre=centre, radius_mm=radius_mm),))


def bracket_with_window() -> Part:
    """A base 120 x 60 with a flange 30 along it, a window of 20 across the bend, a mitred second flange 25 to the side, and a
    hem on the first flange; t 2, R 2.
    """
    base = FlatPiece(
        id="P",
        outline=((0, 0), (45, 0), (45, 6), (65, 6), (65, 0), (120, 0), (120, 60), (0, 60)),
        features=(
            bow_cutout((90.0, 40.0), 8.0),
            Slot(centre=(30.0, 25.0), length_mm=14.0, width_mm=5.0, axis_deg=30.0),
        ),
    )
    front = FlatPiece(
        id="Q",
        outline=((0, 4), (120, 4), (120, 34), (75, 34), (75, 8), (55, 8), (55, 34), (0, 34)),
        features=(Circle(centre=(20.0, 19.0), diameter_mm=6.0, name="bolt"),),
    )
    hem = FlatPiece(id="R", outline=((0, 0), (30, 0), (30, 8), (0, 8)))
    side = FlatPiece(id="S", outline=((2, 0), (48, 0), (44, 25), (6, 25)))
    folds = (
        Fold(
            first="P",
            second="Q",
            on_first=((0.0, 0.0), (120.0, 0.0)),
            on_second=((120.0, 4.0), (0.0, 4.0)),
            turned_deg=90.0,
            direction="up",
            inside_radius_mm=2.0,
            zone=(
                ZonePiece(outline=((0, 0), (45, 0), (45, 1), (0, 1))),
                ZonePiece(outline=((65, 0), (120, 0), (120, 1), (65, 1)), windows=(((80, 0.3), (80, 0.6), (90, 0.6)),)),
            ),
        ),
        Fold(
            first="Q",
            second="R",
            on_first=((40.0, 34.0), (10.0, 34.0)),
            on_second=((30.0, 0.0), (0.0, 0.0)),
            turned_deg=180.0,
            direction="up",
            inside_radius_mm=1.0,
        ),
        Fold(
            first="P",
            second="S",
            on_first=((120.0, 5.0), (120.0, 55.0)),
            on_second=((50.0, 0.0), (0.0, 0.0)),
            turned_deg=60.0,
            direction="down",
            inside_radius_mm=2.0,
            zone=(ZonePiece(outline=((0, 0), (50, 0), (48, 1), (2, 1))),),
        ),
    )
    return part_from_flats(HEADER, (base, front, hem, side), folds, thickness_mm=2.0)
