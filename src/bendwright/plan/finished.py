"""Can the part as drawn exist? Its finished shape must not run into itself, whatever the tools."""

from __future__ import annotations

import itertools

import numpy as np

from bendwright.findings import Finding, found
from bendwright.geometry.pair_table import plates_apart
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold
from bendwright.part.model import Part
from bendwright.part.plate_clouds import plate_clouds

TOUCH_MM = -0.02


def self_overlaps(part: Part, blank: Blank) -> list[Finding]:
    """M105 for every two flanges (not joined by a bend) whose finished plates overlap."""
    placed = fold(part, blank)
    joined = {frozenset((bend.parent, bend.child)) for bend in part.bends}
    clouds = {
        flange.id: [np.ascontiguousarray(placed[flange.id].points(cloud)) for cloud in plate_clouds(blank, flange.id)]
        for flange in part.flanges
    }
    out = []
    for first, second in itertools.combinations([flange.id for flange in part.flanges], 2):
        if frozenset((first, second)) in joined:
            continue
        pairs = itertools.product(clouds[first], clouds[second])
        if min(plates_apart(a, b, 1.0) for a, b in pairs) < TOUCH_MM:
            out.append(found("M105", where=f"flanges {first}, {second}", first=first, second=second))
    return out
