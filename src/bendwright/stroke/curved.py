"""A large radius made hit by hit: how many hits, which die, and the list a person works from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from bendwright.findings import Finding, found
from bendwright.mechanics.bump_bending import (
    Hit,
    curl_size_mm,
    facet_height_mm,
    hit_list,
    hits_for_facet,
    pitch_mm,
)
from bendwright.mechanics.springback import former_ratio
from bendwright.shop.brake import Brake
from bendwright.shop.sheet import Sheet
from bendwright.stroke.hit_tools import Division, HitMeans, HitTools, divided, hit_tools


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A round bend: inside radius, turned angle [degrees], straights before and after, width along the bed [mm]."""

    inside_radius_mm: float
    turned_deg: float
    front_mm: float
    back_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveJob:
    """A round bend ready for the brake. ``former_share`` is what the same radius bent in one go would keep of its angle;
    ``chord_mm`` and ``bulge_mm`` are the room the finished curl needs.
    """

    hits: int
    step_deg: float
    pitch_mm: float
    facet_mm: float
    k_factor: float
    arc_mm: float
    blank_mm: float
    chord_mm: float
    bulge_mm: float
    former_share: float
    tools: HitTools
    hit_list: tuple[Hit, ...]
    findings: tuple[Finding, ...]


def curve_job(curve: Curve, division: Division, means: HitMeans) -> CurveJob:
    """Lay a round bend out and choose its die. OutOfRangeError for sizes no hits can make."""
    sizes = {"inside_radius_mm": curve.inside_radius_mm, "thickness_mm": means.sheet.thickness_mm}
    by_facet = partial(hits_for_facet, **sizes, turned_deg=curve.turned_deg)
    hits = divided(division, curve.turned_deg, lambda facet: by_facet(facet_mm=facet))
    step = curve.turned_deg / hits
    pitch = pitch_mm(**sizes, turned_deg=curve.turned_deg, k_factor=means.k_factor, hits=hits)
    blank = curve.front_mm + hits * pitch + curve.back_mm
    tools = hit_tools(means, pitch, step, radius_mm=curve.inside_radius_mm, length_mm=curve.length_mm)
    listed = hit_list(
        front_mm=curve.front_mm,
        pitch_mm=pitch,
        blank_mm=blank,
        step_deg=step,
        hits=hits,
        half_centre_mm=tools.half_centre_mm,
        stroke=tools.stroke,
    )
    chord, bulge = curl_size_mm(**sizes, turned_deg=curve.turned_deg, front_mm=curve.front_mm, back_mm=curve.back_mm)
    return CurveJob(
        hits=hits,
        step_deg=step,
        pitch_mm=pitch,
        facet_mm=facet_height_mm(**sizes, step_deg=step),
        k_factor=means.k_factor,
        arc_mm=hits * pitch,
        blank_mm=blank,
        chord_mm=chord,
        bulge_mm=bulge,
        former_share=_former_share(curve.inside_radius_mm, means.sheet),
        tools=tools,
        hit_list=listed,
        findings=(*tools.findings, *_room(listed, tools, means.brake)),
    )


def _former_share(radius_mm: float, sheet: Sheet) -> float:
    return former_ratio(
        finished_radius_mm=radius_mm,
        thickness_mm=sheet.thickness_mm,
        yield_mpa=sheet.material.yield_mpa,
        youngs_modulus_mpa=sheet.material.youngs_modulus_mpa,
        poisson=sheet.material.poisson,
    )


def _room(hits: tuple[Hit, ...], tools: HitTools, brake: Brake) -> list[Finding]:
    """What the curl meets (clamps are taken to hang all along it), what the gauge cannot reach, ends too short to lie on the die."""
    said = []
    height, body = tools.punch.height_mm, max(abs(x) for x, _ in tools.punch.outline)
    over = [hit for hit in hits if hit.number * hit.turned_deg > 90.0]
    meets = next((hit for hit in over if hit.edge_in_front_mm < body), None)
    if meets:
        said.append(found("W143", where=f"hit {meets.number}", number=meets.number, ahead=meets.edge_in_front_mm))
    ram, clamps = brake.ram_half_depth_mm or 0.0, brake.punch_clamps
    above = [(height, ram)] if clamps is None else [(height, clamps.half_depth_mm), (height + clamps.height_mm, ram)]
    under = next(
        (h for h in over if any(h.edge_up_mm > foot and body <= h.edge_in_front_mm < half for foot, half in above)),
        None,
    )
    if under:
        said.append(found("W144", where=f"hit {under.number}", number=under.number, up=under.edge_up_mm, punch=height))
    shortest = min(hits[0].from_front_mm, hits[-1].x_mm)
    if shortest < tools.half_centre_mm + 1.0:
        said.append(found("W146", where="ends", end=shortest, half=tools.half_centre_mm))
    reach = brake.gauge.x_range_mm
    far = [hit.x_mm for hit in hits if reach and not reach[0] <= hit.x_mm <= reach[1]]
    if far and reach:
        values = {"count": len(far), "low": reach[0], "high": reach[1], "brake": brake.id}
        said.append(found("W147", where=f"brake {brake.id}", first=min(far), last=max(far), **values))
    return said
