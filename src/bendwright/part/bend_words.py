"""Can this bend or hem be what was typed? The checks shared by profiles and panels."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bendwright.findings import Finding, found
from bendwright.part.model import BendKind
from bendwright.part.typed import TypedBend, TypedHem
from bendwright.said import figure, phrase


def bend_findings(bend: TypedBend, legs_mm: Sequence[float], thickness_mm: float | None, where: str) -> list[Finding]:
    """Angle strictly between 0 and 180, a leg measure that fits the angle, legs that reach past the drawn arc."""
    if not 0.0 < bend.turned_deg < 180.0:
        return [found("P140", where=where, turned=figure(f"{bend.turned_deg:g}"))]
    if bend.measured_to == "outer_tangent" and bend.turned_deg <= 90.0:
        return [found("P141", where=where, turned=figure(f"{bend.turned_deg:g}"))]
    if bend.radius_mm is None or thickness_mm is None:
        return []
    outer = bend.radius_mm + thickness_mm
    half = math.radians(bend.turned_deg) / 2.0
    needed = outer if bend.leg_measure == "outer_tangent" else outer * math.tan(half)
    return [
        found(
            "P142",
            where=where,
            leg=figure(f"{leg:.2f}"),
            needed=figure(f"{needed:.2f}"),
            radius=figure(f"{bend.radius_mm:g}"),
        )
        for leg in legs_mm
        if leg <= needed
    ]


def hem_findings(hem: TypedHem, leg_mm: float) -> list[Finding]:
    """A closed hem has no gap, the others need one; the folded piece stays on the leg it folds onto."""
    bad = kind_findings(hem.kind, hem.gap_mm, hem.where)
    if hem.length_mm >= leg_mm:
        bad.append(found("P145", where=hem.where, hem=figure(f"{hem.length_mm:g}"), leg=figure(f"{leg_mm:g}")))
    return bad


def kind_findings(kind: BendKind, gap_mm: float | None, where: str) -> list[Finding]:
    """Does the hem gap fit the kind of hem?"""
    if kind == "hem_closed" and gap_mm is not None:
        return [found("P143", where=where, gap=figure(f"{gap_mm:g}"))]
    if kind in ("hem_open", "hem_teardrop") and gap_mm is None:
        return [found("P144", where=where, kind=phrase(kind.removeprefix("hem_")))]
    return []
