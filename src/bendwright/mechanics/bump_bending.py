"""How many hits make a large radius, where do they lie, and how deep does each go?

An arc of inside radius R and turned angle A is made as N equal small bends. The flat between two hits is a facet; the
outer face stands (R + t)(1 - cos(step/2)) off the circle in its middle. Hits lie one pitch apart, the first and the last
half a pitch inside the ends of the arc. A hit is an air bend in its own die: no factor on its force.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import acos, ceil, cos, degrees, hypot, pi, radians, sin

from bendwright.findings import OutOfRangeError, found
from bendwright.mechanics.limits import not_negative, positive, within
from bendwright.mechanics.record import ModelRecord, WorkedExample

DIE_OVER_PITCH = 2.0
"""Opening of the die over the pitch (training text): the hit before then lies at the shoulder and not in the opening."""

MOST_HITS = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class HitStroke:
    """One small bend at the brake: angles left and under load [degrees], depth from first touch [mm], who says so."""

    turned_deg: float
    loaded_turned_deg: float
    depth_mm: float
    source: str = ""

    @property
    def springback_deg(self) -> float:
        """By how much the hit opens again."""
        return self.loaded_turned_deg - self.turned_deg

    @property
    def share_kept(self) -> float:
        """Angle left over angle under load."""
        return self.turned_deg / self.loaded_turned_deg


HitModel = Callable[[float], HitStroke]
"""From the angle one hit is to leave [degrees] to its stroke. Any stroke solver can be put in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One hit: number, its line from the front edge of the flat [mm], stop X from the edge still flat at the back [mm],
    turned angle [degrees], depth [mm] with what the hit before takes away from or adds to it, and where the front edge
    stands after the hit, in front of the punch and above the die [mm].
    """

    number: int
    from_front_mm: float
    x_mm: float
    turned_deg: float
    depth_mm: float
    neighbour_mm: float
    edge_in_front_mm: float
    edge_up_mm: float


def facet_height_mm(*, inside_radius_mm: float, thickness_mm: float, step_deg: float) -> float:
    """How far the middle of a facet lies off the outer circle: (R + t)(1 - cos(step/2))."""
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm)
    within(0.0, 180.0, step_deg=step_deg)
    return (inside_radius_mm + thickness_mm) * (1.0 - cos(radians(step_deg) / 2.0))


def hits_for_facet(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float, facet_mm: float) -> int:
    """Fewest equal hits whose facets stay within a height.

    OutOfRangeError W102 when more than 2000 would be needed.
    """
    not_negative(inside_radius_mm=inside_radius_mm)
    positive(thickness_mm=thickness_mm, facet_mm=facet_mm, turned_deg=turned_deg)
    outer = inside_radius_mm + thickness_mm
    step = 2.0 * degrees(acos(max(0.0, 1.0 - facet_mm / outer)))
    return hits_for_step(turned_deg=turned_deg, step_deg=step)


def hits_for_step(*, turned_deg: float, step_deg: float) -> int:
    """Fewest equal hits of at most that many degrees each: ceil(turned/step). W102 above 2000."""
    within(0.0, 360.0, turned_deg=turned_deg)
    positive(turned_deg=turned_deg, step_deg=step_deg)
    hits = max(1, ceil(turned_deg / step_deg - 1e-9))
    if hits > MOST_HITS:
        raise OutOfRangeError(found("W102", where="hits", hits=hits, most=MOST_HITS))
    return hits


def pitch_mm(*, inside_radius_mm: float, thickness_mm: float, turned_deg: float, k_factor: float, hits: int) -> float:
    """Distance of the hits on the flat: (R + K t) A/N, A in radians."""
    within(1, MOST_HITS, hits=hits)
    within(0.0, 1.0, k_factor=k_factor)
    positive(turned_deg=turned_deg, thickness_mm=thickness_mm)
    not_negative(inside_radius_mm=inside_radius_mm)
    return (inside_radius_mm + k_factor * thickness_mm) * radians(turned_deg) / hits


def neighbour_drop_mm(*, pitch_mm: float, half_centre_mm: float, step_deg: float, hits_before: int = 1) -> float:
    """By how much deeper, from the die, the ram must go when hits made before lie in the opening.

    (step/2) x sum of (Wc - j p) over the neighbours j = 1, 2, ... of which ``hits_before`` exist, all on one side. The bent
    side rests lower on its shoulder, so the sheet meets the punch that much later. 0 when the neighbour lies at the
    shoulder or outside it, which is what V = 2 x pitch asks for; 0 for the first hit, which has none.
    """
    positive(pitch_mm=pitch_mm, half_centre_mm=half_centre_mm)
    not_negative(hits_before=hits_before)
    within(0.0, 90.0, step_deg=step_deg)
    inside = min(hits_before, int(half_centre_mm / pitch_mm))
    return sum(half_centre_mm - j * pitch_mm for j in range(1, inside + 1)) * radians(step_deg) / 2.0


def hit_lines_mm(*, front_mm: float, pitch_mm: float, hits: int) -> tuple[float, ...]:
    """Lines of the hits from the front edge of the flat: straight + (i - 1/2) pitch."""
    not_negative(front_mm=front_mm)
    positive(pitch_mm=pitch_mm)
    within(1, MOST_HITS, hits=hits)
    return tuple(front_mm + (number - 0.5) * pitch_mm for number in range(1, hits + 1))


def curl_edge_mm(*, front_mm: float, pitch_mm: float, step_deg: float, hits: int) -> tuple[float, float]:
    """Where the front edge stands after so many hits: in front of the last hit's line, above the flat [mm].

    The flat still to be bent lies level behind the last line; facets between hits, the first piece half a pitch and the
    straight. A negative first number means the edge has come over the punch.
    """
    in_front, up = 0.0, 0.0
    for back in range(1, hits + 1):
        length = pitch_mm if back < hits else front_mm + pitch_mm / 2.0
        slope = radians(back * step_deg)
        in_front += length * cos(slope)
        up += length * sin(slope)
    return in_front, up


def hit_list(
    *,
    front_mm: float,
    pitch_mm: float,
    blank_mm: float,
    step_deg: float,
    hits: int,
    half_centre_mm: float,
    stroke: HitStroke,
) -> tuple[Hit, ...]:
    """All hits in the order made, from the front edge backward, gauged on the edge still flat at the back.

    ``depth_mm`` of a hit counts from where the punch touches flat sheet on the empty die; its ``neighbour_mm`` is in it.
    """
    opening = {"pitch_mm": pitch_mm, "half_centre_mm": half_centre_mm, "step_deg": step_deg}
    done: list[Hit] = []
    for number, line in enumerate(hit_lines_mm(front_mm=front_mm, pitch_mm=pitch_mm, hits=hits), 1):
        own = neighbour_drop_mm(**opening, hits_before=number - 1)
        ahead, up = curl_edge_mm(front_mm=front_mm, pitch_mm=pitch_mm, step_deg=step_deg, hits=number)
        done.append(
            Hit(
                number=number,
                from_front_mm=line,
                x_mm=blank_mm - line,
                turned_deg=step_deg,
                depth_mm=stroke.depth_mm + own,
                neighbour_mm=own,
                edge_in_front_mm=ahead,
                edge_up_mm=up,
            )
        )
    return tuple(done)


def curl_size_mm(
    *, inside_radius_mm: float, thickness_mm: float, turned_deg: float, front_mm: float, back_mm: float
) -> tuple[float, float]:
    """Chord from end to end of the finished middle line, and how far it bulges off that chord [mm].

    The bulge is measured to the farthest point of the arc; with unequal straights the chord is not square to its axis.
    """
    positive(thickness_mm=thickness_mm)
    not_negative(inside_radius_mm=inside_radius_mm, front_mm=front_mm, back_mm=back_mm)
    within(0.0, 360.0, turned_deg=turned_deg)
    radius, turned = inside_radius_mm + thickness_mm / 2.0, radians(turned_deg)
    end = (
        front_mm + radius * sin(turned) + back_mm * cos(turned),
        radius * (1.0 - cos(turned)) + back_mm * sin(turned),
    )
    chord = hypot(*end)
    if chord < 1e-9:
        return 0.0, 2.0 * radius
    steps = [turned * i / 720.0 for i in range(721)]
    points = [(front_mm + radius * sin(a), radius * (1.0 - cos(a))) for a in steps]
    return chord, max(abs(end[0] * y - end[1] * x) / chord for x, y in points)


_HOOD = {"inside_radius_mm": 150.0, "thickness_mm": 2.0, "turned_deg": 90.0}

RECORDS = (
    ModelRecord(
        id="bump_facet",
        question="How far do the facets of a bumped radius stand off the circle?",
        answer=facet_height_mm,
        source="chord of a circle",
        provenance="derived",
        symbols={"R": "inside_radius_mm", "t": "thickness_mm"},
        examples=tuple(
            WorkedExample(
                inputs={"inside_radius_mm": 150.0, "thickness_mm": 2.0, "step_deg": 90.0 / hits},
                expected=expected,
                tolerance=0.0005,
                origin="derived",
                source=f"152 (1 - cos(45/{hits}))",
            )
            for hits, expected in ((21, 0.106), (22, 0.097), (45, 0.023))
        ),
    ),
    ModelRecord(
        id="bump_pitch",
        question="How far apart do the hits of a bumped radius lie?",
        answer=pitch_mm,
        source="length of the neutral fibre over the number of hits",
        provenance="derived",
        symbols={"R": "inside_radius_mm", "K": "k_factor", "t": "thickness_mm", "N": "hits"},
        examples=(
            WorkedExample(
                inputs={**_HOOD, "k_factor": 0.5, "hits": 22},
                expected=10.78,
                tolerance=0.005,
                origin="derived",
                source="151 x pi/2/22",
            ),
            WorkedExample(
                inputs={
                    "inside_radius_mm": 26.0,
                    "thickness_mm": 1e-9,
                    "turned_deg": 30.0,
                    "k_factor": 0.0,
                    "hits": 1,
                },
                expected=13.614,
                tolerance=0.0005,
                origin="derived",
                source="26 x pi/6; a magazine's reader example prints 16.613 for it, which is wrong",
            ),
        ),
    ),
    ModelRecord(
        id="bump_neighbour",
        question="How much deeper must a hit go when its neighbour lies in the opening?",
        answer=neighbour_drop_mm,
        source="straight facets resting on two shoulders, small angles",
        provenance="derived",
        symbols={"p": "pitch_mm", "Wc": "half_centre_mm"},
        ranges={"step_deg": (0.0, 15.0, "degrees")},
        examples=(
            WorkedExample(
                inputs={"pitch_mm": 6.0, "half_centre_mm": 10.0, "step_deg": 4.0},
                expected=4.0 * pi / 90.0,
                tolerance=1e-12,
                origin="derived",
                source="(10 - 6) x 4 degrees/2",
            ),
        ),
        remarks="Neighbours on one side. A facet is straight here; real ones carry some of the curve.",
    ),
)
