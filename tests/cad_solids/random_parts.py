"""Bent sheets drawn at random: profiles with any number of bends and openings, boxes with walls and lips."""

from __future__ import annotations

import math
from dataclasses import replace

from after_bending import broken_edge, counterbored, countersunk, drilled, flat_share
from flaps import Flap, flapped
from flat_shapes import Loop, Point, blob, circle, d_hole, rectangle, signed_area, slot
from hypothesis import assume
from hypothesis import strategies as st
from kernel_bending import bend
from known import Known, known, known_from
from sheet_parts import Bent, Wall, box, outside_legs, profile, section_clear, tangent_lines

THICKNESSES = st.sampled_from([0.4, 0.5, 0.762, 0.8, 1.0, 1.2, 1.5, 2.0, 3.0, 3.175, 4.0, 6.0, 8.0, 12.0])
K_FACTORS = st.sampled_from([0.33, 0.4, 0.44, 0.47, 0.5])


def _rounded(low: float, high: float, digits: int = 2) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, digits))


def turned_angles() -> st.SearchStrategy[float]:
    """Turned angles from 3 to 170 degrees, the usual ones often."""
    return st.sampled_from([90.0, 90.0, 45.0, 60.0, 30.0, 135.0, 120.0]) | _rounded(3.0, 170.0)


@st.composite
def radii(draw: st.DrawFn, thickness: float) -> float:
    """Inside radii from nearly sharp to big rolls."""
    share = draw(st.sampled_from([0.5, 1.0, 1.0, 1.0, 1.5, 2.0, 6.0]))
    exact = draw(st.none() | st.sampled_from([0.002, 0.05, 0.737, 25.0, 125.0, 200.0]))
    return exact if exact is not None else round(share * thickness, 3)


@st.composite
def profiles(draw: st.DrawFn, most_bends: int = 5) -> Known:
    """A profile of 1 to ``most_bends`` bends, clear of itself, with openings in its flats and across its bends."""
    t, k = draw(THICKNESSES), draw(K_FACTORS)
    count = draw(st.integers(1, most_bends))
    bends = [Bent(draw(turned_angles()), draw(radii(t)), draw(st.booleans())) for _ in range(count)]
    straights = [draw(_rounded(2.5 * t + 3.0, 10.0 * t + 60.0)) for _ in range(count + 1)]
    assume(section_clear(straights, bends, t))
    width = draw(_rounded(10.0 * t + 20.0, 10.0 * t + 200.0))
    plain = profile(straights, bends, width_mm=width, thickness_mm=t, k_factor=k)
    openings = [one for one in draw(_openings(straights, tangent_lines(plain), width, t)) if one is not None]
    blank = profile(straights, bends, width_mm=width, thickness_mm=t, k_factor=k, openings=openings)
    return known("random profile", blank, legs_mm=tuple(outside_legs(straights, bends, t)))


@st.composite
def _openings(
    draw: st.DrawFn, straights: list[float], lines: list[tuple[float, float]], width: float, t: float
) -> list[Loop | None]:
    """At most one opening in each flat and over each bend, clear of edges and of each other."""
    out: list[Loop | None] = []
    low = 0.0
    for number, straight in enumerate(straights):
        room = min(straight, width)
        x = draw(_rounded(0.5 * room, width - 0.5 * room)) if width > room else 0.5 * width
        out.append(draw(_opening(x, low + 0.5 * straight, 0.55 * room)) if room > 6.0 else None)
        if number < len(lines):
            first, last = lines[number]
            out.append(draw(_across(first, last, straights[number : number + 2], width)))
            low = last
    return out


@st.composite
def _opening(draw: st.DrawFn, x: float, y: float, size: float) -> Loop | None:
    """A hole of one of all kinds round a point, nowhere wider than ``size``."""
    size = round(size, 2)
    turned = draw(st.sampled_from([0.0, 90.0, 45.0, 17.0]))
    kinds = [
        None,
        circle(x, y, size),
        circle(x, y, 0.5 * size, halves=True),
        slot(x, y, size, round(0.4 * size, 3), turned),
        d_hole(x, y, 0.8 * size, 0.2 * size),
        rectangle(-0.3 * size, -0.2 * size, 0.3 * size, 0.2 * size).moved(x, y, math.radians(turned)),
        blob(x, y, 0.8 * size),
    ]
    return draw(st.sampled_from(kinds))


@st.composite
def _across(draw: st.DrawFn, first: float, last: float, beside: list[float], width: float) -> Loop | None:
    """A window right across a bend, within the outer fifth of the flats beside it (their own openings keep the middle)."""
    if not draw(st.booleans()):
        return None
    low, high = first - 0.18 * beside[0], last + 0.18 * beside[1]
    left = draw(_rounded(0.15 * width, 0.5 * width))
    right = left + 0.25 * width
    if draw(st.booleans()):
        return rectangle(left, low, right, high)
    length, across = right - left, high - low
    if length > across:
        return slot(0.5 * (left + right), 0.5 * (low + high), length, across)
    return slot(0.5 * (left + right), 0.5 * (low + high), across, length, 90.0)


@st.composite
def walls(draw: st.DrawFn, thickness: float, inset: float) -> Wall | None:
    """No wall, a plain one, a tapered one, or one with a lip turned in or out."""
    kind = draw(st.sampled_from(["none", "plain", "plain", "tapered", "lip in", "lip out"]))
    if kind == "none":
        return None
    radius = draw(st.sampled_from([0.5, 1.0, 2.0])) * thickness
    up = draw(st.booleans())
    turned = draw(st.sampled_from([90.0, 90.0, 60.0, 38.5]))
    straight = draw(_rounded(6.0 * thickness + 5.0, 40.0 + 4.0 * thickness))
    if kind == "plain":
        return Wall(straight, Bent(turned, radius, up), inset)
    if kind == "tapered":
        return Wall(straight, Bent(turned, radius, up), inset, 0.15)
    lip = Bent(90.0, radius, up if kind == "lip in" else not up)
    return Wall(straight, Bent(turned, radius, up), inset, 0.0, 4.0 + 3.0 * thickness, lip, 1.05)


@st.composite
def boxes(draw: st.DrawFn) -> Known:
    """A base with up to four walls; corners open, with square or with round reliefs."""
    t, k = draw(st.sampled_from([0.5, 0.8, 1.0, 1.5, 2.0, 3.0])), draw(K_FACTORS)
    relief = draw(st.sampled_from(["none", "square", "round"]))
    size = round(draw(_rounded(1.5, 3.0)) * t, 3)
    inset = round(0.3 * t, 3) if relief == "none" else size
    four = [draw(walls(t, inset)) for _ in range(4)]
    assume(any(four))
    wide, deep = draw(_rounded(60.0 + 40.0 * t, 300.0)), draw(_rounded(60.0 + 40.0 * t, 250.0))
    openings = [circle(0.4 * wide, 0.5 * deep, 8.0 * t), slot(0.7 * wide, 0.5 * deep, 12.0 * t, 4.0 * t, 30.0)]
    blank = box(wide, deep, four, thickness_mm=t, k_factor=k, relief=relief, relief_mm=size, openings=openings)
    return known("random box", blank)


@st.composite
def flaps(draw: st.DrawFn, edge_mm: float, thickness: float, depth: int) -> Flap:
    """A flap that fits an edge, with flaps on its own edges down to ``depth`` more levels."""
    t = thickness
    bend = Bent(
        draw(turned_angles()), round(draw(st.sampled_from([0.0, 0.3, 1.0, 1.0, 2.0, 3.0])) * t, 3), draw(st.booleans())
    )
    straight = draw(_rounded(4.0 * t + 2.0, 12.0 * t + 25.0))
    insets = (draw(_rounded(0.2 * t, 0.2 * edge_mm)), draw(_rounded(0.2 * t, 0.2 * edge_mm)))
    allowance = math.radians(bend.turned_deg) * (bend.radius_mm + 0.5 * t)
    lean = 0.25 * edge_mm / (straight + allowance)
    sharp = bend.radius_mm == 0.0  # rims askew to a sharp bend have no inner edge to stand on
    leans = (0.0, 0.0) if sharp else tuple(draw(st.sampled_from([0.0, 0.0, 0.15, 0.6])) for _ in range(2))
    leans = (min(leans[0], lean), min(leans[1], lean))
    own: list[Flap | None] = [None, None, None]
    if depth > 0:
        lengths = [straight, 0.55 * edge_mm - max(0.0, *leans) * 2.0 * (straight + allowance), straight]
        for side, size in enumerate(lengths):
            if size > 10.0 * t + 8.0 and draw(st.integers(0, 2)) == 0:
                own[side] = draw(flaps(size, t, depth - 1))
    return Flap(bend, straight, insets, leans, (own[0], own[1], own[2]))


@st.composite
def flapped_plates(draw: st.DrawFn) -> Known:
    """A convex base of three to six edges at any direction, flaps on its edges and on theirs; sometimes split faces."""
    t, k = draw(st.sampled_from([0.5, 1.0, 1.5, 2.0, 3.0])), draw(K_FACTORS)
    count, reach = draw(st.integers(3, 6)), draw(_rounded(30.0 + 25.0 * t, 150.0))
    turns = sorted(draw(st.lists(st.integers(0, 359), min_size=count, max_size=count, unique=True)))
    gaps = [(b - a) % 360 for a, b in zip(turns, [*turns[1:], turns[0]], strict=True)]
    assume(min(gaps) > 25 and max(gaps) < 170)
    base = [(reach * math.cos(math.radians(a)), reach * math.sin(math.radians(a))) for a in turns]
    chosen = {}
    for side in range(count):
        edge = math.dist(base[side], base[(side + 1) % count])
        if draw(st.integers(0, 2)) and edge > 12.0 * t:
            chosen[side] = draw(flaps(edge, t, 2))
    assume(chosen)
    middle = (sum(x for x, _ in base) / count, sum(y for _, y in base) / count)
    room = min(_height(a, b, middle) for a, b in zip(base, [*base[1:], base[0]], strict=True))
    openings = [slot(*middle, 8.0 * t, 3.0 * t, 40.0)] if room > 6.0 * t else []
    blank = flapped(base, chosen, thickness_mm=t, k_factor=k, openings=openings)
    assume(blank is not None)
    assert blank is not None
    merged = draw(st.booleans())
    if not merged and all(strip.radius_mm for strip in blank.strips) and draw(st.booleans()):
        blank = replace(blank, imprints=(((-300.0, 3.7), (300.0, 11.3)),))
    return known("flapped plate", blank, merged=merged)


def _height(a: Point, b: Point, point: Point) -> float:
    """How far a point lies to the left of the line from a to b."""
    return 2.0 * signed_area([a, b, point]) / math.dist(a, b)


@st.composite
def finished_profiles(draw: st.DrawFn) -> Known:
    """Profiles with holes drilled, sunk or bored after bending, some of them into a bend, and edges broken."""
    t, k = draw(st.sampled_from([1.0, 1.5, 2.0, 3.0])), draw(K_FACTORS)
    count = draw(st.integers(1, 3))
    bends = [
        Bent(draw(turned_angles()), draw(st.sampled_from([1.0, 2.0, 3.0])) * t, draw(st.booleans()))
        for _ in range(count)
    ]
    straights = [draw(_rounded(14.0 * t, 20.0 * t + 40.0)) for _ in range(count + 1)]
    assume(section_clear(straights, bends, t))
    width = draw(_rounded(25.0 * t, 150.0))
    blank = profile(straights, bends, width_mm=width, thickness_mm=t, k_factor=k)
    bent = bend(blank)
    made = replace(known_from("finished profile", blank, bent), legs_mm=tuple(outside_legs(straights, bends, t)))
    solid, taken, holes, low = bent.solid, 0.0, [], 0.0
    least = most = 0.0
    for number, straight in enumerate(straights):
        at, hole = (0.5 * width, low + 0.5 * straight), round(draw(_rounded(1.0, 4.0)) * t, 3)
        how = draw(st.sampled_from(["none", "drilled", "sunk", "sunk below", "bored", "into the bend"]))
        room = number < count and bends[number].turned_deg > 40.0
        if how == "into the bend" and room:
            reach = 0.5 * bends[number].radius_mm * math.sin(math.radians(min(90.0, bends[number].turned_deg)))
            at = (at[0], low + straight - 0.5 * hole + draw(st.sampled_from([0.05, 0.3, 1.0])) * min(reach, 0.9 * hole))
        if how in ("drilled", "into the bend"):
            solid, gone = drilled(blank, bent, solid, at, hole)
        elif how == "bored":
            solid, gone = counterbored(blank, bent, solid, at, hole_mm=hole, head_mm=1.8 * hole, depth_mm=0.5 * t)
        elif how != "none":
            solid, gone = countersunk(blank, bent, solid, at, hole_mm=hole, head_mm=hole + 1.4 * t, top=how == "sunk")
        if how != "none":
            shares = flat_share(blank, at, hole)
            taken, least, most = taken + gone, least + shares[0], most + shares[1]
            if how == "into the bend" and room:
                made = replace(made, crossing=made.crossing + 1)
            else:
                holes.append(hole)
            made = replace(made, refolds=made.refolds and how in ("drilled", "into the bend"))
        low += straight + (blank.width(blank.strips[number]) if number < count else 0.0)
    if draw(st.booleans()):
        ends, size = ((width, low), (0.0, low)), 0.25 * t
        solid, gone = broken_edge(blank, bent, solid, ends, size, round_=draw(st.booleans()))
        made, taken = replace(made, refolds=False), taken + gone
    return replace(
        made,
        solid=solid,
        volume_mm3=made.volume_mm3 - taken,
        holes=tuple(sorted(holes)),
        corners=made.corners if not made.crossing else made.corners[:0],
        area_taken_mm2=0.5 * (least + most),
        area_slack_mm2=0.5 * (most - least),
    )
