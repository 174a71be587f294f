"""Can a drawing be read under these choices at all?"""

from __future__ import annotations

from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.findings import Finding, PartFileError, found
from bendwright.said import figure

THICKNESS_MM = (0.02, 200.0)
RADIUS_MM = (0.0, 1e5)
K = (0.0, 1.0)
GAP_MM = (0.0, 10.0)
TOLERANCE_MM = (1e-5, 1.0)
TURNED_DEG = (0.01, 180.0)


def check_choices(choices: DxfChoices, *, thickness_mm: float | None, where: str) -> None:
    """Raise PartFileError D349 for every number of the choices that means nothing. ``thickness_mm`` is the one to be used."""
    sender = choices.sender
    rows = [
        ("thickness_mm", thickness_mm, THICKNESS_MM),
        ("inside_radius_mm", choices.inside_radius_mm, RADIUS_MM),
        ("k_factor", choices.k_factor, K),
        ("gap_mm", choices.gap_mm, GAP_MM),
        ("curve_tolerance_mm", choices.curve_tolerance_mm, TOLERANCE_MM),
        ("default_turned_deg", choices.default_turned_deg, TURNED_DEG),
        ("outline", choices.outline, (1, 100_000)),
    ]
    if sender:
        rows += [
            ("the sender's gap", sender.gap_mm, GAP_MM),
            ("the sender's K", sender.k_factor, K),
            ("the sender's inside radius", sender.inside_radius_mm, RADIUS_MM),
        ]
    for item in choices.bends:
        rows += [(f"{name} of {_name(item)}", value, allowed) for name, value, allowed in _numbers(item)]
    bad = [_finding(name, value, allowed, where) for name, value, allowed in rows if value is not None]
    if findings := [item for item in bad if item]:
        raise PartFileError(findings)


def _numbers(item: BendWords) -> list[tuple[str, float | None, tuple[float, float]]]:
    return [("turned_deg", item.turned_deg, TURNED_DEG), ("inside_radius_mm", item.inside_radius_mm, RADIUS_MM)]


def _name(item: BendWords) -> str:
    return f"line {item.number}" if item.number is not None else f"the line at {item.at}"


def _finding(name: str, value: float, allowed: tuple[float, float], where: str) -> Finding | None:
    low, high = allowed
    if low <= value <= high:
        return None
    return found(
        "D349", where=where, name=name, came=figure(f"{value:g}"), low=figure(f"{low:g}"), high=figure(f"{high:g}")
    )
