"""The skewed corner of a hopper: the fold's angle, its deduction, and how its edges can be gauged."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.findings import Finding, found
from bendwright.mechanics.cone_bumping import finger_taper_mm
from bendwright.mechanics.skewed_corners import HopperCorner, gauge_tab_mm, half_flat_mm, hopper_corners
from bendwright.shop.brake import Brake
from bendwright.stroke.result import Verdict

FINGER_WIDTH_MM = 40.0
SQUARE_DEG = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """A tab on the blank with an edge parallel to the bend: length, height at the near and at the far end [mm]."""

    length_mm: float
    near_mm: float
    far_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerGauging:
    """How the far edge of one face of a corner lies to the fold [degrees], the fingers' difference in X [mm], the tab."""

    face: str
    skew_deg: float
    taper_mm: float
    tab: Tab


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerJob:
    """One fold of a hopper with both ways to gauge it: on the far edge of the face before it, and of the one after.
    ``flat_mm`` is the outline of both faces joined, fold along y, its upper end at the origin.
    """

    corner: HopperCorner
    gauging: tuple[CornerGauging, CornerGauging]
    flat_mm: tuple[tuple[float, float], ...]
    findings: tuple[Finding, ...]
    verdict: Verdict


def corner_jobs(
    *,
    top_mm: tuple[float, float],
    bottom_mm: tuple[float, float],
    height_mm: float,
    shift_mm: tuple[float, float],
    spacing_mm: float,
    deduction_mm: float,
    brake: Brake,
) -> tuple[CornerJob, ...]:
    """All four corners of a hopper. OutOfRangeError for sizes that make no hopper."""
    corners = hopper_corners(top_mm=top_mm, bottom_mm=bottom_mm, height_mm=height_mm, shift_mm=shift_mm)
    return tuple(_job(corner, spacing_mm, deduction_mm, brake) for corner in corners)


def _job(corner: HopperCorner, spacing_mm: float, deduction_mm: float, brake: Brake) -> CornerJob:
    width = brake.gauge.finger_width_mm or FINGER_WIDTH_MM
    gauging = tuple(
        _gauging(face, skew, spacing_mm, width)
        for face, skew in zip(("before", "after"), corner.to_far_edge_deg, strict=True)
    )
    said, turned = [], corner.turned_deg
    if abs(turned - 90.0) > SQUARE_DEG:
        said.append(found("W151", where=corner.name, turned=turned, included=corner.included_deg))
    best = min(gauging, key=lambda one: one.skew_deg)
    able = best.skew_deg < SQUARE_DEG or brake.gauge.independent_x is True
    if not able:
        values = {"skew": best.skew_deg, "taper": best.taper_mm, "spacing": spacing_mm, "brake": brake.id}
        tab = {"length": best.tab.length_mm, "near": best.tab.near_mm, "far": best.tab.far_mm}
        said.append(found("W150", where=corner.name, **values, **tab))
    return CornerJob(
        corner=corner,
        gauging=(gauging[0], gauging[1]),
        flat_mm=half_flat_mm(corner=corner, deduction_mm=deduction_mm),
        findings=tuple(said),
        verdict="ok" if able else "watch",
    )


def _gauging(face: str, skew_deg: float, spacing_mm: float, finger_width_mm: float) -> CornerGauging:
    skew = min(skew_deg, 85.0)
    tab = gauge_tab_mm(
        skew_deg=skew, spacing_mm=spacing_mm, finger_width_mm=finger_width_mm, least_mm=finger_width_mm / 2.0
    )
    return CornerGauging(
        face=face,
        skew_deg=skew_deg,
        taper_mm=finger_taper_mm(skew_deg=skew, spacing_mm=spacing_mm),
        tab=Tab(length_mm=tab[0], near_mm=tab[1], far_mm=tab[2]),
    )
