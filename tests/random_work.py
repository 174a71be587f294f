"""Random parts that somebody could draw: small profiles and panels in galvanized sheet."""

from __future__ import annotations

import numpy as np

from bendwright.drawing.quick_profile import quick_profile
from bendwright.part.model import Direction, Header, Part
from bendwright.part.panel import panel_part
from bendwright.part.typed import TypedBase, TypedBend, TypedFlange

SQUARE = (90, 90, 90, 90, 90, 90, 30, 45, 60, 75)
ACUTE = (90, 90, 90, 45, 100, 120, 135, 145)


def random_profile(seed: int, *, acute: bool = False) -> Part:
    """A profile of two to six bends in galvanized sheet, 200 long, mostly to one side: mostly square bends in 1.5 mm, or
    also acute ones in 0.7 mm.
    """
    draw = np.random.default_rng(seed)
    count = int(draw.integers(2, 7))
    legs = [int(draw.integers(13, 75)) for _ in range(count + 1)]
    words = [str(legs[0])]
    for leg in legs[1:]:
        way = "u" if draw.random() < 0.75 else "d"
        turned = draw.choice(ACUTE if acute else SQUARE)
        words += [f"{way}{turned}", str(leg)]
    header = Header(part_no=f"SM-9{seed:03d}", revision="A", material="DX51D+Z", thickness_mm=0.7 if acute else 1.5)
    return quick_profile(" ".join(words) + " x 200", header=header)


def random_panel(seed: int) -> Part:
    """A panel in 1.5 mm galvanized sheet: walls up or down on two to four edges, returns on some of them, short of the corners."""
    draw = np.random.default_rng(seed)
    width, depth = float(draw.integers(90, 320)), float(draw.integers(90, 320))
    edges = [str(edge) for edge in draw.permutation(["front", "right", "back", "left"])[: int(draw.integers(2, 5))]]
    flanges = []
    for edge in edges:
        way: Direction = "up" if draw.random() < 0.8 else "down"
        leg = float(draw.integers(14, 45))
        back: tuple[TypedFlange, ...] = ()
        if draw.random() < 0.4:
            short = float(draw.integers(13, 18))
            back = (
                TypedFlange(
                    name=f"{edge}.far", edge="far", leg_mm=short, bend=TypedBend(direction=way), left_mm=short + 2.0,
                    right_mm=short + 2.0,
                ),
            )  # fmt: skip
        flanges.append(TypedFlange(name=edge, edge=edge, leg_mm=leg, bend=TypedBend(direction=way), flanges=back))
    header = Header(part_no=f"SM-8{seed:03d}", revision="A", material="DX51D+Z", thickness_mm=1.5)
    base = TypedBase(points=((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)))
    return panel_part(header, base=base, flanges=flanges)
