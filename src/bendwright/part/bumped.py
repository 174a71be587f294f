"""How does a bend of large radius become many small ones, with the flats beyond it where the arc had them?

The facets lie round the arc: each touches the outer circle in its middle, the first and the last half are the ends of the
flats before and behind. Their mould lines then meet at 2 (R + t) tan(step/2), whatever radius the hits get, and every flat
beyond stands exactly where the drawing has it. The sheet for each hit is its share of the neutral fibre, one pitch; so the
blank is that of the smooth bend, and the deduction of a hit is what its facet is longer than the pitch.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import radians, tan

from bendwright.findings import NotPossibleError, OutOfRangeError, found
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.mechanics.bump_bending import (
    DIE_OVER_PITCH,
    MOST_HITS,
    facet_height_mm,
    hits_for_facet,
    pitch_mm,
)
from bendwright.mechanics.bump_stroke import small_bend_radius_mm
from bendwright.mechanics.limits import positive, within
from bendwright.part.bend_size import BendSize, sized
from bendwright.part.bump_sheet import Band, flat_pieces, placed_flange, unrolled, zone_of
from bendwright.part.from_flats import Fold, part_from_flats
from bendwright.part.model import ArcHit, Bend, Flange, Header, Part
from bendwright.said import phrase, say

MOST_STEP_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bumped:
    """A part with one bend made hit by hit. ``hits`` and ``facets`` are the new bends and flanges in order from the parent.

    ``pitch_mm`` is the sheet between two hits, ``step_deg`` the turned angle of each, ``facet_height_mm`` how far the facets
    stand off the circle; ``deduction_mm`` is that of one hit, with which the blank is that of the smooth bend;
    ``hit_radius_mm`` the inside radius the hits are drawn with. Radius, thickness and K are those of the arc.
    """

    part: Part
    bend_id: str
    hits: tuple[str, ...]
    facets: tuple[str, ...]
    pitch_mm: float
    step_deg: float
    facet_height_mm: float
    deduction_mm: float
    hit_radius_mm: float
    inside_radius_mm: float
    thickness_mm: float
    k_factor: float

    @property
    def from_parent(self) -> tuple[str, ...]:
        """The hits in order when the parent's side goes over the die first; the sheet behind stays flat up to the child."""
        return self.hits

    @property
    def from_child(self) -> tuple[str, ...]:
        """The hits in order when the child's side goes over the die first."""
        return self.hits[::-1]

    def size(self, hit_id: str, *, inside_radius_mm: float, radius_source: str = "given") -> BendSize:
        """The size of one hit with the inside radius its tools give: its allowance makes up the pitch.

        OutOfRangeError R103 when that radius is above the arc's, M112 when nothing of the pitch is left for the hit.
        KeyError for a bend that is no hit.
        """
        if hit_id not in self.hits:
            raise KeyError(hit_id)
        hit = self.part.bend(hit_id)
        return hit_size(
            hit, inside_radius_mm=inside_radius_mm, thickness_mm=self.thickness_mm, radius_source=radius_source
        )

    def sizes(self, *, inside_radius_mm: float | None = None, radius_source: str = "given") -> Mapping[str, BendSize]:
        """The sizes of all hits by id, all made with the same tools; of the drawn hit radius when none is given."""
        radius = self.hit_radius_mm if inside_radius_mm is None else inside_radius_mm
        return {hit: self.size(hit, inside_radius_mm=radius, radius_source=radius_source) for hit in self.hits}

    def longer_mm(self, *, inside_radius_mm: float) -> float:
        """By how much all facets, truly flat, with hits of that radius and the arc's K would need more sheet than the arc:
        the doubt in where the far flat ends up. About (R - r) T step^2/12.
        """
        spare = self.inside_radius_mm - inside_radius_mm
        step = radians(self.step_deg)
        return len(self.hits) * spare * (2.0 * tan(0.5 * step) - step)


def hit_size(bend: Bend, *, inside_radius_mm: float, thickness_mm: float, radius_source: str) -> BendSize:
    """The size of a hit with the inside radius its tools give: its allowance makes up the pitch. Raises as ``Bumped.size``."""
    arc = bend.hit
    if arc is None:
        raise ValueError(f"bend {bend.id} is no hit of a bumped radius")
    within(0.0, arc.arc_radius_mm, inside_radius_mm=inside_radius_mm)
    facet = 2.0 * (arc.arc_radius_mm + thickness_mm) * tan(0.5 * radians(bend.turned_deg))
    deduction = facet - pitch_of(bend, arc, thickness_mm=thickness_mm)
    allowance = 2.0 * _setback(inside_radius_mm, thickness_mm, bend) - deduction
    if allowance <= 0.0:
        values = {"bend": arc.of, "hits": arc.count, "step": bend.turned_deg, "radius": inside_radius_mm}
        raise OutOfRangeError(found("M112", where=f"bend {arc.of}", **values))
    return sized(
        bend,
        inside_radius_mm=inside_radius_mm,
        bend_allowance_mm=allowance,
        thickness_mm=thickness_mm,
        radius_source=radius_source,
        allowance_source=say(
            "source.pitch_of", count=arc.count, arc_radius_mm=arc.arc_radius_mm, k_factor=arc.k_factor
        ),
    )


def pitch_of(bend: Bend, arc: ArcHit, *, thickness_mm: float) -> float:
    """The sheet from one hit to the next [mm]: its share of the arc's neutral fibre."""
    return (arc.arc_radius_mm + arc.k_factor * thickness_mm) * radians(bend.turned_deg)


def runs_of(part: Part) -> tuple[tuple[str, ...], ...]:
    """The hits of every bumped bend of a part, in order from the parent."""
    of: dict[str, list[Bend]] = {}
    for bend in part.bends:
        if bend.hit is not None:
            of.setdefault(bend.hit.of, []).append(bend)
    return tuple(tuple(b.id for b in sorted(run, key=lambda b: b.hit.number if b.hit else 0)) for run in of.values())


def facets_of(part: Part) -> frozenset[str]:
    """The flanges that lie between two hits of one radius: facets of it, no flanges of the drawing."""
    return frozenset(bend.child for bend in part.bends if bend.hit is not None and bend.hit.number < bend.hit.count)


def hits_for(
    *,
    inside_radius_mm: float,
    thickness_mm: float,
    turned_deg: float,
    k_factor: float,
    facet_mm: float | None = None,
    opening_mm: float | None = None,
) -> int:
    """How many hits: the fewest whose facets stay within ``facet_mm``, or the most whose pitch is half the die's
    ``opening_mm`` or more; with both the facets say, and the die must allow it.

    OutOfRangeError M113 when it does not, W102 for facets that need too many hits; ValueError when neither is given.
    """
    sizes = {"inside_radius_mm": inside_radius_mm, "thickness_mm": thickness_mm, "turned_deg": turned_deg}
    if opening_mm is None and facet_mm is None:
        raise ValueError("give facet_mm, opening_mm, or both")
    need = 1 if facet_mm is None else hits_for_facet(**sizes, facet_mm=facet_mm)
    if opening_mm is None:
        return need
    positive(opening_mm=opening_mm)
    arc = pitch_mm(**sizes, k_factor=k_factor, hits=1)
    most = min(MOST_HITS, max(1, int(DIE_OVER_PITCH * arc / opening_mm + 1e-9)))
    if facet_mm is None:
        return most
    if need > most:
        widest = DIE_OVER_PITCH * arc / need
        values = {"facet": facet_mm, "hits": need, "opening": opening_mm, "most": most, "widest": widest}
        raise OutOfRangeError(found("M113", where="hits", **values))
    return need


def bumped(
    part: Part,
    bend_id: str,
    *,
    hits: int,
    thickness_mm: float,
    k_factor: float,
    inside_radius_mm: float | None = None,
    hit_radius_mm: float | None = None,
) -> Bumped:
    """The part with the bend made of ``hits`` small ones.

    ``k_factor`` is that of the arc, ``inside_radius_mm`` its radius when the drawing states none. ``hit_radius_mm`` is the
    radius the hits are drawn with; not given, that of a die of twice the pitch. Give the tools' radius where edges run aslant
    through the arc or openings lie on a hit: with another one edges step there by (difference) tan(step/2) x slope. Walls beside
    the arc end at the first and the last hit. Raises NotPossibleError: M110 no radius, M111 a hem, M106 no sheet joins the flanges;
    OutOfRangeError R101-R104 for impossible numbers, steps above 90 degrees among them. KeyError when there is no such bend.
    """
    bend = part.bend(bend_id)
    radius = _radius(bend, inside_radius_mm)
    arc = {"inside_radius_mm": radius, "thickness_mm": thickness_mm, "turned_deg": bend.turned_deg}
    pitch = pitch_mm(**arc, k_factor=k_factor, hits=hits)
    step = bend.turned_deg / hits
    within(0.0, MOST_STEP_DEG, step_deg=step)
    if hit_radius_mm is None:
        hit_radius_mm = small_bend_radius_mm(
            opening_mm=DIE_OVER_PITCH * pitch, loaded_turned_deg=step, thickness_mm=thickness_mm, nose_radius_mm=0.0
        )
    within(0.0, radius, hit_radius_mm=hit_radius_mm)
    names = _names(part, bend, hits)
    new = _chain(part, bend, names, _Arc(radius, thickness_mm, pitch, radians(step), hit_radius_mm, k_factor))
    return Bumped(
        part=new,
        bend_id=bend_id,
        hits=names.hits,
        facets=names.facets,
        pitch_mm=pitch,
        step_deg=step,
        facet_height_mm=facet_height_mm(inside_radius_mm=radius, thickness_mm=thickness_mm, step_deg=step),
        deduction_mm=2.0 * (radius + thickness_mm) * tan(0.5 * radians(step)) - pitch,
        hit_radius_mm=hit_radius_mm,
        inside_radius_mm=radius,
        thickness_mm=thickness_mm,
        k_factor=k_factor,
    )


@dataclass(frozen=True, slots=True)
class _Arc:
    """The arc and its division: inside radius, thickness, pitch, turned angle of a hit [rad], inside radius of a hit, K."""

    radius: float
    thickness: float
    pitch: float
    step: float
    hit_radius: float
    k_factor: float

    def hit(self, bend: Bend, number: int, count: int) -> ArcHit:
        """What a hit of the bend is, for the model."""
        own = (self.radius + self.thickness) * tan(0.5 * self.step)
        return ArcHit(
            of=bend.id,
            number=number,
            count=count,
            arc_radius_mm=self.radius,
            k_factor=self.k_factor,
            beyond_mm=_setback(self.radius, self.thickness, bend) - own,
        )


@dataclass(frozen=True, slots=True)
class _Names:
    """Ids of the new bends and flanges."""

    hits: tuple[str, ...]
    facets: tuple[str, ...]


def _names(part: Part, bend: Bend, hits: int) -> _Names:
    taken = {flange.id for flange in part.flanges} | {other.id for other in part.bends}
    stem = bend.id
    while any(name.startswith(f"{stem}.") for name in taken):
        stem += "x"
    return _Names(
        tuple(f"{stem}.{number}" for number in range(1, hits + 1)),
        tuple(f"{stem}.facet{number}" for number in range(1, hits)),
    )


def _radius(bend: Bend, given_mm: float | None) -> float:
    if bend.kind != "bend":
        raise NotPossibleError(found("M111", where=f"bend {bend.id}", bend=bend.id, kind=phrase(bend.kind)))
    radius = given_mm if given_mm is not None else bend.drawn_radius_mm
    if radius is None:
        raise NotPossibleError(found("M110", where=f"bend {bend.id}", bend=bend.id))
    positive(inside_radius_mm=radius)
    return radius


def _setback(radius: float, thickness: float, bend: Bend) -> float:
    return setback_mm(
        inside_radius_mm=radius, thickness_mm=thickness, turned_deg=bend.turned_deg, measured_to=bend.measured_to
    )


def _chain(part: Part, bend: Bend, names: _Names, arc: _Arc) -> Part:
    """The part with the bend replaced."""
    count, back = len(names.hits), _setback(arc.radius, arc.thickness, bend)
    drawn_t = part.header.thickness_mm if bend.zone and part.header.thickness_mm else arc.thickness
    length, flat = count * arc.pitch, (arc.radius - arc.hit_radius) * tan(0.5 * arc.step)
    strip = unrolled(part, bend, arc_mm=length, back_mm=back, drawn_mm=_setback(arc.radius, drawn_t, bend))
    middles = [number * arc.pitch for number in range(count + 1)]
    flats: list[Band] = [(max(0.0, m - flat), min(length, m + flat)) for m in middles]
    reach: list[Band] = [(-1e6, flats[0][1]), *flats[1:-1], (flats[-1][0], 1e6)]
    pieces, sheet = flat_pieces(strip, reach)
    folds = [_fold(number, flats, strip.length, bend, count, arc.hit_radius) for number in range(count)]
    zones = [zone_of(sheet, (before[1], behind[0]), strip.length) for before, behind in pairwise(flats)]
    folds = [replace(fold, zone=zone) for fold, zone in zip(folds, zones, strict=True)]
    plain = not bend.zone and all(len(z) == 1 and len(z[0].outline) == 4 and not z[0].windows for z in zones)
    made = part_from_flats(
        Header(part_no="", revision=""), pieces, folds, thickness_mm=arc.thickness, base=pieces[0].id
    )
    ids = [bend.parent, *names.facets, bend.child]
    flanges = [replace(flange, id=name) for flange, name in zip(made.flanges, ids, strict=True)]
    flanges[0] = placed_flange(flanges[0], strip.to_parent)
    hits = [
        replace(hit, id=name, parent=first, child=second, hit=arc.hit(bend, number, count))
        for number, (hit, name, (first, second)) in enumerate(
            zip(made.bends, names.hits, pairwise(ids), strict=True), start=1
        )
    ]
    if plain:
        hits = [replace(hit, zone=(), drawn_radius_mm=None) for hit in hits]
    hits[0] = replace(hits[0], start=strip.to_parent.point(hits[0].start), end=strip.to_parent.point(hits[0].end))
    moved = (arc.radius + arc.thickness) * tan(0.5 * arc.step) - back
    return _put_in(part, bend, flanges, hits, moved)


def _fold(number: int, flats: Sequence[Band], length: float, bend: Bend, count: int, radius: float) -> Fold:
    low, high = flats[number][1], flats[number + 1][0]
    return Fold(
        first=str(number),
        second=str(number + 1),
        on_first=((length, low), (0.0, low)),
        on_second=((length, high), (0.0, high)),
        turned_deg=bend.turned_deg / count,
        direction=bend.direction,
        inside_radius_mm=radius,
    )


def _put_in(part: Part, bend: Bend, flanges: Sequence[Flange], hits: Sequence[Bend], moved_mm: float) -> Part:
    """The part with parent, facets, child and hits put in; what hangs on the child moves with its frame by ``moved_mm``."""
    first, *facets, last = flanges
    all_flanges: list[Flange] = []
    for flange in part.flanges:
        if flange.id == bend.child:
            all_flanges += facets
        shaped = {bend.parent: first, bend.child: last}.get(flange.id)
        if shaped is not None:
            flange = replace(flange, outline=shaped.outline, features=shaped.features, arcs=shaped.arcs)
        all_flanges.append(flange)
    all_bends: list[Bend] = []
    for other in part.bends:
        if other.id == bend.id:
            all_bends += hits
        elif other.parent == bend.child:
            (x0, y0), (x1, y1) = other.start, other.end
            all_bends.append(replace(other, start=(x0, y0 + moved_mm), end=(x1, y1 + moved_mm)))
        else:
            all_bends.append(other)
    return replace(part, flanges=tuple(all_flanges), bends=tuple(all_bends))
