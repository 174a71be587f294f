"""What ``bendwright draw`` prints, row by row."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bendwright.drawing.reading import Reading
    from bendwright.part.blank_model import Blank
    from bendwright.part.drawn_blank import SizeCompared
    from bendwright.part.model import Feature, Part

SOURCES = {
    "step": "STEP model",
    "dxf_flat": "DXF flat",
    "dxf_section": "DXF section",
    "part_file": "part file",
}
MOST_OPENINGS = 20


def headline(reading: Reading) -> str:
    """Part, thickness and counts in one line."""
    part = reading.part
    header = part.header
    thickness = "thickness not stated" if header.thickness_mm is None else f"{header.thickness_mm:g} mm"
    count = f"{len(part.flanges)} flats, {len(part.bends)} bends" if part.bends else "flat plate, no bends"
    return f"{header.part_no}  revision {header.revision}  ({SOURCES[reading.source]}): {thickness}, {count}"


def volume_line(reading: Reading) -> str:
    """Volume of the model against that of the part folded up again."""
    if reading.model_volume_mm3 is None or reading.refolded_volume_mm3 is None:
        return ""
    off = 100.0 * (reading.refolded_volume_mm3 / reading.model_volume_mm3 - 1.0)
    return (
        f"Volume of the model {reading.model_volume_mm3:.1f} mm3, of the part folded as drawn "
        f"{reading.refolded_volume_mm3:.1f} mm3 ({off:+.4f} %)"
    )


def body_rows(reading: Reading) -> list[tuple[str, ...]]:
    """The bodies of the file."""
    return [(str(body.number), body.name, body.words) for body in reading.bodies]


def bend_rows(part: Part, blank: Blank) -> list[tuple[str, ...]]:
    """One row a bend; ``line`` numbers the straight lines that bends share."""
    from bendwright.part.bend_lines import lines_of

    numbers = {bend_id: n for n, group in enumerate(lines_of(part, blank), 1) for bend_id in group}
    spans = {line.bend_id: line.spans for line in blank.bend_lines}
    rows: list[tuple[str, ...]] = []
    for bend in part.bends:
        length = sum(high - low for low, high in spans[bend.id])
        radius = "" if bend.drawn_radius_mm is None else f"{bend.drawn_radius_mm:.3f}"
        fold = bend.direction if bend.kind == "bend" else f"{bend.direction}, {bend.kind.replace('_', ' ')}"
        sizes = (f"{bend.turned_deg:.2f}", radius, f"{length:.2f}", str(len(spans[bend.id])))
        rows.append((bend.id, bend.parent, bend.child, fold, *sizes, str(numbers[bend.id])))
    return rows


def opening_rows(part: Part) -> list[tuple[str, ...]]:
    """Openings counted by kind, size and flange; the rest in one row when there are many."""
    counts = Counter((*_words(feature), flange.id) for flange in part.flanges for feature in flange.features)
    rows: list[tuple[str, ...]] = [
        (f"{count} {kind}{'s' if count > 1 else ''}", size, flange) for (kind, size, flange), count in counts.items()
    ]
    if len(rows) > MOST_OPENINGS:
        left = sum(list(counts.values())[MOST_OPENINGS:])
        rows = [*rows[:MOST_OPENINGS], (f"{left} more", "", "")]
    return rows


def _words(feature: Feature) -> tuple[str, str]:
    from bendwright.part.model import Circle, Slot

    if isinstance(feature, Circle):
        return "round hole", f"dia {feature.diameter_mm:.2f}"
    if isinstance(feature, Slot):
        return "slot", f"{feature.length_mm:.2f} x {feature.width_mm:.2f}"
    xs, ys = [x for x, _ in feature.points], [y for _, y in feature.points]
    return "cut-out", f"{max(xs) - min(xs):.2f} x {max(ys) - min(ys):.2f}"


def compared_rows(compared: tuple[SizeCompared, ...]) -> list[tuple[str, ...]]:
    """Each size of the given flat against the own one."""
    rows: list[tuple[str, ...]] = []
    for item in compared:
        unit = "mm2" if item.what == "area" else "mm"
        k = "" if item.k_implied is None else f"{item.k_implied:.4f}"
        rows.append((f"{item.what}, {unit}", f"{item.given:.3f}", f"{item.own:.3f}", f"{item.difference:+.3f}", k))
    return rows
