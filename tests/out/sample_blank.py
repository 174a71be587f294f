"""Hand-made blanks for the paper and file tests: the lipped channel's of the sample plan, and a tray's (invented)."""

from __future__ import annotations

import math
from dataclasses import replace

from bendwright.part.bend_size import BendSize
from bendwright.part.blank_model import BendLine, Blank, PlacedFlat
from bendwright.part.model import Circle, Cutout, Slot
from out.sample_section import ALLOWANCE, SETBACK, R, T

LENGTH = 1200.0
LEGS = (15.0, 40.0, 80.0, 40.0, 15.0)
DEDUCTION = 2 * SETBACK - ALLOWANCE
BENDS = ("B1", "B2", "B3", "B4")
WIDTH = sum(LEGS) - 4 * DEDUCTION
LINES = tuple(sum(LEGS[: i + 1]) - (i + 0.5) * DEDUCTION for i in range(4))


def blank() -> Blank:
    """The channel's blank: bend lines along y, two drain slots, a hole and a window in the base."""
    features = (
        Circle(centre=(87.44, 120.0), diameter_mm=13.0, name="cable gland"),
        Slot(centre=(87.44, 400.0), length_mm=40.0, width_mm=8.0, axis_deg=90.0, name="drain"),
        Slot(centre=(87.44, 800.0), length_mm=40.0, width_mm=8.0, axis_deg=60.0, name="drain"),
        Cutout(points=((70.0, 1040.0), (105.0, 1040.0), (105.0, 1080.0), (70.0, 1080.0)), name="hand hole"),
    )
    cut = math.pi * 13.0**2 / 4 + 2 * (32.0 * 8.0 + math.pi * 16.0) + 35.0 * 40.0
    size = BendSize(
        bend_id="B1",
        inside_radius_mm=R,
        bend_allowance_mm=ALLOWANCE,
        setback_mm=SETBACK,
        bend_deduction_mm=DEDUCTION,
        k_factor=0.42,
        radius_source="given",
        allowance_source="K-factor 0.42, given",
    )
    outline = ((0.0, 0.0), (WIDTH, 0.0), (WIDTH, LENGTH), (0.0, LENGTH))
    flat = PlacedFlat(flange_id="base", origin=(0.0, 0.0), angle_rad=0.0, outline=outline, features=features)
    return Blank(
        outline=outline,
        windows=(),
        features=features,
        flats=(flat,),
        bend_lines=tuple(
            BendLine(
                bend_id=name,
                start=(x, LENGTH),
                end=(x, 0.0),
                spans=((0.0, LENGTH),),
                direction="up",
                turned_deg=90.0,
                zone_width_mm=ALLOWANCE,
            )
            for name, x in zip(BENDS, LINES, strict=True)
        ),
        sizes=tuple(replace(size, bend_id=name) for name in BENDS),
        thickness_mm=T,
        width_mm=WIDTH,
        height_mm=LENGTH,
        area_mm2=WIDTH * LENGTH - cut,
        overlap_mm2=0.0,
    )


def tray_blank() -> Blank:
    """A square-cornered tray blank 284.43 x 224.43 with walls on four sides, one bend down, a window and holes."""
    w, h, c = 284.43, 224.43, 52.0
    outline = (
        (c, 0.0), (w - c, 0.0), (w - c, c), (w, c), (w, h - c), (w - c, h - c),
        (w - c, h), (c, h), (c, h - c), (0.0, h - c), (0.0, c), (c, c),
    )  # fmt: skip
    corners = [((c, c), (w - c, c)), ((w - c, c), (w - c, h - c)), ((w - c, h - c), (c, h - c)), ((c, h - c), (c, c))]
    window = ((100.0, 100.0), (100.0, 130.0), (140.0, 130.0), (140.0, 100.0))
    hole = Circle(centre=(60.0, 60.0), diameter_mm=6.0, name="drain")
    lines = tuple(
        BendLine(
            bend_id=f"W{i + 1}",
            start=start,
            end=end,
            spans=((0.0, math.dist(start, end)),),
            direction="down" if i == 3 else "up",
            turned_deg=90.0,
            zone_width_mm=3.8,
        )
        for i, (start, end) in enumerate(corners)
    )
    size = replace(blank().sizes[0], inside_radius_mm=1.8)
    return replace(
        blank(),
        outline=outline,
        windows=(window,),
        features=(hole,),
        bend_lines=lines,
        sizes=tuple(replace(size, bend_id=line.bend_id) for line in lines),
        thickness_mm=1.5,
        width_mm=w,
        height_mm=h,
        area_mm2=w * h - 4 * c * c - 40.0 * 30.0 - math.pi * 9.0,
    )
