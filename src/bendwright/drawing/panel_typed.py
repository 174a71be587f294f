"""A panel typed in fields on a page: the fields of a part file (docs/part-files.md), as JSON, there and back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import yaml

from bendwright.drawing.part_file import Gauge, part_from_text
from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import BendwrightError, PartFileError
from bendwright.part.legs import outside_mm
from bendwright.part.model import Bend, Part

NAME = "typed"
SAME_MM = 1e-4


def panel_from_fields(fields: Mapping[str, Any], *, gauge: Gauge | None = None) -> Part:
    """The part of a header and its ``panel``, every value as it was typed. Raises PartFileError; ``where`` of each finding is the path
    of its field (``panel.flanges[1].leg``, counted from 1).
    """
    kept = {key: value for key, value in fields.items() if value is not None}
    try:
        return part_from_text(json.dumps(kept), NAME, gauge=gauge)
    except PartFileError as error:
        raise PartFileError([replace(item, where=_field(item.where)) for item in error.findings]) from None


def _field(where: str) -> str:
    """``typed:1 panel.base.width`` without what only a file has."""
    head, _, path = where.partition(" ")
    return path if head.startswith(f"{NAME}:") else where.removeprefix(f"{NAME}:")


def panel_fields_of(text: str) -> dict[str, Any] | None:
    """The ``panel`` of a part file as fields to be typed on in; None where it describes no panel."""
    try:
        read = yaml.load(text, Loader=yaml.BaseLoader)
    except yaml.YAMLError:
        return None
    panel = read.get("panel") if isinstance(read, dict) else None
    return panel if isinstance(panel, dict) else None


def profile_words(part: Part) -> str:
    """The line a profile would be typed in; "" for what cannot be typed in one line (holes, tolerances, open hems)."""
    chain = _chain(part) if part.profile and all(bend.kind == "bend" for bend in part.bends) else []
    if not chain:
        return ""
    words = [_mm(outside_mm(part, chain[0][1]))]
    for bend, flange in chain[1:]:
        assert bend is not None
        turned = "" if bend.turned_deg == 90.0 else f"{bend.turned_deg:.10g}"
        words += [("u" if bend.direction == "up" else "d") + turned, _mm(outside_mm(part, flange))]
    line = " ".join([*words, "x", _mm(part.bends[0].line_mm)])
    try:
        again = quick_profile(line, header=part.header)
    except BendwrightError:
        return ""
    return line if _near(again, part) else ""


def _chain(part: Part) -> list[tuple[Bend | None, str]]:
    """Flanges from the first leg to the last, each with the bend before it; nothing where they hang together otherwise."""
    beside: dict[str, list[Bend]] = {flange.id: [] for flange in part.flanges}
    for bend in part.bends:
        beside[bend.parent].append(bend)
        beside[bend.child].append(bend)
    ends = sorted(name for name, bends in beside.items() if len(bends) == 1)
    if len(ends) != 2 or any(len(bends) > 2 for bends in beside.values()):
        return []
    chain: list[tuple[Bend | None, str]] = [(None, "leg1" if "leg1" in ends else ends[0])]
    for _ in part.bends:
        before, here = chain[-1]
        bend = next(item for item in beside[here] if item is not before)
        chain.append((bend, bend.child if bend.parent == here else bend.parent))
    return chain


def _mm(value: float) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _near(one: Part, other: Part) -> bool:
    """The same but for rounding, and nothing left out."""
    return _tree(one) == _tree(other) and all(
        abs(a - b) < SAME_MM for a, b in zip(_places(one), _places(other), strict=True)
    )


def _tree(part: Part) -> list[object]:
    """All of a part that is no length."""
    flanges = [(f.id, f.features, f.tolerance, f.fit, len(f.outline)) for f in part.flanges]
    bends = [
        (b.id, b.parent, b.child, b.turned_deg, b.direction, b.measured_to, b.drawn_radius_mm, b.kind)
        for b in part.bends
    ]
    return [*flanges, *bends]


def _places(part: Part) -> list[float]:
    """All lengths of a part [mm]."""
    points = [point for flange in part.flanges for point in flange.outline]
    points += [point for bend in part.bends for point in (bend.start, bend.end)]
    return [xy for point in points for xy in point]
