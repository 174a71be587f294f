"""What a sender's file shows of how he draws, as a mapping to remember."""

from __future__ import annotations

from pathlib import Path

from bendwright.drawing.dxf.choices import MM_PER_UNIT, DxfChoices, Role, Sender
from bendwright.drawing.dxf.parse_apart import parsed
from bendwright.drawing.dxf.understood import gap_of, understand


def learned_sender(path: Path, *, name: str, choices: DxfChoices = DxfChoices()) -> Sender:
    """The mapping under which this file is read as it is read now: its layers, or its line types where one layer holds several
    things, its unit, and the gap, K-factor and radius of ``choices``. Raises PartFileError as reading does.
    """
    drawn = parsed(path, apart_from_mb=choices.apart_from_mb, limits=choices.limits)
    flat = understand(drawn, choices, thickness_mm=choices.thickness_mm, where=path.name)
    by_layer: dict[str, set[Role]] = {}
    for style, what in zip(drawn.styles, flat.taken, strict=True):
        if not style.hidden:
            by_layer.setdefault(style.layer, set()).add(what.role)
    layers: dict[str, Role] = {layer: next(iter(roles)) for layer, roles in by_layer.items() if len(roles) == 1}
    mixed = [(style, what) for style, what in zip(drawn.styles, flat.taken, strict=True) if style.layer not in layers]
    line_types: dict[str, Role] = {
        style.line_type: what.role for style, what in mixed if not style.hidden and style.broken
    }
    unit = next((unit for unit, factor in MM_PER_UNIT.items() if abs(factor - flat.mm_per_unit) < 1e-9), None)
    older = choices.sender or Sender()
    return Sender(
        name=name,
        layers={**older.layers, **layers},
        line_types={**older.line_types, **line_types},
        colours=older.colours,
        unit=unit,
        gap_mm=gap_of(choices),
        k_factor=choices.k_factor if choices.k_factor is not None else older.k_factor,
        inside_radius_mm=choices.inside_radius_mm if choices.inside_radius_mm is not None else older.inside_radius_mm,
    )
