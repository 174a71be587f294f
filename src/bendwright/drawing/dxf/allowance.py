"""How wide is each bend's zone in the sender's flat, and what inside radius and K-factor does he believe in?

Where the tangent lines are drawn the width is theirs: BA = A (R + K t), A the turned angle in radians, gives the one of t, R and K
that is not known. With neither R nor K known, R is taken as the roundest number for which K lies between 0.3 and 0.5. Without tangent
lines R and K are what is said, or stated assumptions.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bendwright.drawing.dxf.bend_says import Said
from bendwright.drawing.dxf.choices import K_FACTOR, RADIUS_OVER_THICKNESS, DxfChoices
from bendwright.drawing.dxf.found_bends import FoundBend
from bendwright.drawing.dxf.places import listed
from bendwright.findings import Finding, found
from bendwright.mechanics.bend_allowance import k_factor_allowance_mm
from bendwright.said import figure, joined, say

PLAUSIBLE_K = (0.3, 0.5)
ROUND_MM = (1.0, 0.5, 0.25, 0.2, 0.1, 0.05)
AGREE_MM = 0.02
LEAST_WIDTH_MM = 1e-3
K_CENT = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """Width of a bend's zone [mm], the inside radius [mm] and K-factor behind it, and where the width comes from."""

    width_mm: float
    inside_radius_mm: float
    k_factor: float
    drawn: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What is known of a bend's radius and K-factor before its width is asked."""

    radius: float | None
    k: float | None


def thickness_from_zones(bends: Sequence[FoundBend], said: Mapping[int, Said], choices: DxfChoices) -> float | None:
    """The thickness that tangent lines, radius and K-factor give together [mm]; None without all three or when bends differ."""
    values = []
    for bend in bends:
        words, zone = said.get(bend.number), bend.axis.zone_mm
        if words is None or zone is None:
            continue
        known = _known(words, choices)
        if known.radius is not None and known.k:
            values.append((zone / math.radians(words.turned_deg) - known.radius) / known.k)
    if not values or max(values) - min(values) > 0.05 or min(values) <= 0.0:
        return None
    return round(sum(values) / len(values), 3)


def _known(words: Said, choices: DxfChoices) -> _Known:
    sender = choices.sender
    radius = words.inside_radius_mm
    if radius is None:
        radius = choices.inside_radius_mm
    if radius is None and sender:
        radius = sender.inside_radius_mm
    k = choices.k_factor if choices.k_factor is not None else (sender.k_factor if sender else None)
    return _Known(radius=radius, k=k)


def allowances(
    bends: Sequence[FoundBend], said: Mapping[int, Said], choices: DxfChoices, *, thickness_mm: float, where: str
) -> tuple[dict[int, Allowance], list[Finding]]:
    """The allowance of each bend by its number, and what was found or assumed (D361 to D364)."""
    out: dict[int, Allowance] = {}
    assumed: set[str] = set()
    odd: list[str] = []
    clash: list[str] = []
    for bend in bends:
        words, known = said[bend.number], _known(said[bend.number], choices)
        if bend.axis.zone_mm is None:
            out[bend.number] = _without_zone(words, known, thickness_mm, assumed)
            continue
        own = _from_zone(bend.axis.zone_mm, words, known, thickness_mm)
        out[bend.number] = own
        if known.radius is not None and known.k is not None and abs(own.k_factor - known.k) * thickness_mm > AGREE_MM:
            clash.append(say("drawing.clash", number=bend.number, k=own.k_factor, radius=own.inside_radius_mm))
        if not PLAUSIBLE_K[0] - K_CENT <= own.k_factor <= PLAUSIBLE_K[1] + K_CENT:
            sizes = {"width": own.width_mm, "radius": own.inside_radius_mm, "k": own.k_factor}
            odd.append(say("drawing.odd_k", number=bend.number, **sizes))
    findings = []
    if zones := _zones_in_words(out):
        findings.append(found("D361", where=where, zones=zones))
    if assumed:
        findings.append(
            found("D362", where=where, assumed=joined(" and ", sorted(assumed)), shift=_shift(thickness_mm))
        )
    if clash:
        findings.append(found("D363", where=where, lines=listed(clash)))
    if odd:
        findings.append(found("D364", where=where, lines=listed(odd)))
    return out, findings


def _shift(thickness_mm: float) -> str:
    """What a K-factor wrong by 0.05 does to the length of a leg at 90 degrees, each side of the bend."""
    return figure(f"{0.5 * math.radians(90.0) * 0.05 * thickness_mm:.2f}")


def _without_zone(words: Said, known: _Known, thickness: float, assumed: set[str]) -> Allowance:
    radius, k = known.radius, known.k
    if radius is None:
        radius = RADIUS_OVER_THICKNESS * thickness
        assumed.add(say("drawing.one_thickness", radius=radius))
    if k is None:
        k = K_FACTOR
        assumed.add(say("drawing.k", k=K_FACTOR))
    width = k_factor_allowance_mm(
        inside_radius_mm=radius, thickness_mm=thickness, turned_deg=words.turned_deg, k_factor=k
    )
    return Allowance(width_mm=max(width, LEAST_WIDTH_MM), inside_radius_mm=radius, k_factor=k, drawn=False)


def _from_zone(width: float, words: Said, known: _Known, thickness: float) -> Allowance:
    neutral = width / math.radians(words.turned_deg)
    if known.radius is not None:
        radius = known.radius
    elif known.k is not None:
        radius = max(0.0, neutral - known.k * thickness)
    else:
        radius = _roundest(neutral, thickness)
    return Allowance(width_mm=width, inside_radius_mm=radius, k_factor=(neutral - radius) / thickness, drawn=True)


def _roundest(neutral: float, thickness: float) -> float:
    """The roundest radius for which K is plausible; of several equally round ones that with K nearest 0.44."""
    low, high = neutral - PLAUSIBLE_K[1] * thickness, neutral - PLAUSIBLE_K[0] * thickness
    for step in ROUND_MM:
        rounds = [n * step for n in range(max(1, math.ceil(low / step - 1e-6)), math.floor(high / step + 1e-6) + 1)]
        if rounds:
            return min(rounds, key=lambda radius: abs((neutral - radius) / thickness - K_FACTOR))
    return max(0.0, neutral - K_FACTOR * thickness)


def _zones_in_words(out: Mapping[int, Allowance]) -> str:
    """The widths drawn, each once: what they are and what they say."""
    drawn: dict[str, list[int]] = {}
    for number, own in out.items():
        if own.drawn:
            text = say("drawing.zone", width=own.width_mm, radius=own.inside_radius_mm, k=own.k_factor)
            drawn.setdefault(text, []).append(number)
    keys = ("drawing.zone_at_line", "drawing.zone_at_lines")
    return listed(say(keys[len(ns) > 1], zone=text, lines=listed(map(str, ns))) for text, ns in drawn.items())
