"""A cone made hit by hit: its flat, which die, and the list a person works from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from bendwright.findings import Finding, found
from bendwright.mechanics.bump_bending import neighbour_drop_mm
from bendwright.mechanics.cone_bumping import (
    ConeFlat,
    ConeHit,
    cone_facet_mm,
    cone_flat,
    cone_hits,
    cone_hits_for_facet,
    cone_pitches_mm,
    cone_turn_per_hit_deg,
)
from bendwright.stroke.hit_tools import Division, HitMeans, HitTools, divided, hit_tools


@dataclass(frozen=True, slots=True, kw_only=True)
class Cone:
    """A piece of a cone: radii of the inner face at both ends, height along the axis [mm], angle around it [degrees]."""

    small_radius_mm: float
    large_radius_mm: float
    height_mm: float
    turned_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ConeStroke:
    """One hit of a cone: its line in the flat, turned angle [degrees], depth at the small and at the large end [mm]."""

    line: ConeHit
    turned_deg: float
    depth_small_mm: float
    depth_large_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ConeJob:
    """A cone ready for the brake: its flat, pitch at the small and at the large end, hits with their two depths."""

    hits: int
    step_deg: float
    turned_per_hit_deg: float
    facet_mm: float
    k_factor: float
    flat: ConeFlat
    pitches_mm: tuple[float, float]
    tools: HitTools
    strokes: tuple[ConeStroke, ...]
    findings: tuple[Finding, ...]


def cone_job(cone: Cone, division: Division, means: HitMeans) -> ConeJob:
    """Lay a cone out and choose its die by the pitch half-way. OutOfRangeError for sizes that are no cone."""
    t = means.sheet.thickness_mm
    flat = cone_flat(
        small_radius_mm=cone.small_radius_mm,
        large_radius_mm=cone.large_radius_mm,
        height_mm=cone.height_mm,
        turned_deg=cone.turned_deg,
        thickness_mm=t,
        k_factor=means.k_factor,
    )
    outside = {"large_radius_mm": cone.large_radius_mm, "thickness_mm": t, "half_angle_deg": flat.half_angle_deg}
    by_facet = partial(cone_hits_for_facet, **outside, turned_deg=cone.turned_deg)
    hits = divided(division, cone.turned_deg, lambda facet: by_facet(facet_mm=facet))
    step = cone.turned_deg / hits
    pitches = cone_pitches_mm(flat=flat, hits=hits)
    turned = cone_turn_per_hit_deg(step_deg=step, half_angle_deg=flat.half_angle_deg)
    tools = hit_tools(means, sum(pitches) / 2.0, turned, radius_mm=cone.large_radius_mm, length_mm=flat.slant_mm)
    return ConeJob(
        hits=hits,
        step_deg=step,
        turned_per_hit_deg=turned,
        facet_mm=cone_facet_mm(**outside, step_deg=step),
        k_factor=means.k_factor,
        flat=flat,
        pitches_mm=pitches,
        tools=tools,
        strokes=tuple(_cone_stroke(line, turned, pitches, tools) for line in cone_hits(flat=flat, hits=hits)),
        findings=(*tools.findings, found("W145", where="gauge")),
    )


def _cone_stroke(line: ConeHit, turned: float, pitches: tuple[float, float], tools: HitTools) -> ConeStroke:
    """Depth at both ends: where the pitch is smaller, more neighbours lie in the opening."""
    small, large = (
        tools.stroke.depth_mm
        + neighbour_drop_mm(
            pitch_mm=pitch, half_centre_mm=tools.half_centre_mm, step_deg=turned, hits_before=line.number - 1
        )
        for pitch in pitches
    )
    return ConeStroke(line=line, turned_deg=turned, depth_small_mm=small, depth_large_mm=large)
