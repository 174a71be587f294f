"""Which bends are made hit by hit, and in how many hits?

Those the person names, and those whose radius no tool of the cabinet comes near in one stroke. Each becomes a chain of small bends
(``part.bumped``); from there on they are strokes like all others.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.findings import Finding, InputError, NotPossibleError, OutOfRangeError, found
from bendwright.mechanics.bend_allowance import din_6935_k
from bendwright.mechanics.bump_bending import DIE_OVER_PITCH, MOST_HITS, facet_height_mm, hits_for_facet, pitch_mm
from bendwright.part.bumped import Bumped, bumped, runs_of
from bendwright.part.model import Bend, Part
from bendwright.plan.choose import MOST_BENDS, Tooling
from bendwright.plan.situation import middle_nose
from bendwright.quantities import parse_length
from bendwright.said import phrase, say
from bendwright.shop.tools import NOT_BENDING
from bendwright.stroke.air_stroke import LEAST_RATIO, MOST_RATIO
from bendwright.stroke.die_choice import LARGE_RADIUS, LEAST_MADE, wanted_opening_mm
from bendwright.stroke.hit_tools import NARROWEST_OVER_T
from bendwright.stroke.sizing import natural_radius_mm, size_on_tools

FACET_MM = 0.1
"""How far facets may stand off the circle when nobody says (practice, no source: less is hardly felt)."""
MOST_TURNED_DEG = 175.0
MOST_RADIUS = 20.0
WORDS = re.compile(r"^\s*(?P<bend>[^\s=]+)\s*(=\s*((?P<hits>\d{1,4})|(?P<facet>[^=]*[^\s\d=][^=]*)))?\s*$")


@dataclass(frozen=True, slots=True)
class Bump:
    """A bend the person wants made hit by hit: in so many hits, or with facets of at most so many mm; both None: choose for me."""

    bend: str
    hits: int | None = None
    facet_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Bent:
    """The part with every such bend divided, the same part where there is none, and what is to be said of it."""

    part: Part
    findings: tuple[Finding, ...]


def read_bumps(texts: Sequence[str], part: Part) -> tuple[Bump, ...]:
    """Bumps as a person types them: b1, b1=19 (hits), b1=0.05mm (height of the facets). Raises InputError with O123 for each that is
    not understood, C1xx for a length that is none.
    """
    known = [bend.id for bend in part.bends]
    out, wrong = list[Bump](), list[Finding]()
    for text in texts:
        match = WORDS.match(text)
        hits = int(match["hits"]) if match and match["hits"] else None
        if match is None or match["bend"] not in known or hits in (0, 1) or match["bend"] in [b.bend for b in out]:
            wrong.append(found("O123", bump=text[:60], bends=", ".join(known)))
            continue
        facet = parse_length(match["facet"], where="--bump") if match["facet"] else None
        out.append(Bump(match["bend"], hits, facet))
    if wrong:
        raise InputError(wrong)
    return tuple(out)


def by_hits(part: Part, tooling: Tooling, bumps: Sequence[Bump] = ()) -> Bent:
    """The part with the bends named, and those no tool comes near, divided into hits.

    Raises NotPossibleError M110 for a named bend without radius, M111 for a hem, O124 for more hits than can be searched;
    OutOfRangeError M113 where no die of the cabinet is narrow enough.
    """
    named = {bump.bend: bump for bump in bumps}
    said = []
    for bend in part.bends:
        largest = largest_radius_mm(tooling)
        if bend.id not in named and not _needs_hits(bend, tooling.sheet.thickness_mm, largest):
            continue
        if bend.kind != "bend":
            raise NotPossibleError(found("M111", where=f"bend {bend.id}", bend=bend.id, kind=phrase(bend.kind)))
        if not bend.drawn_radius_mm:
            raise NotPossibleError(found("M110", where=f"bend {bend.id}", bend=bend.id))
        wish = named.get(bend.id, Bump(bend.id))
        hits = _hits(bend, wish, tooling, room=MOST_BENDS - len(part.bends) + 1)
        why = "as asked" if bend.id in named else say("other.no_such_radius", largest=largest)
        part, finding = _divided(part, bend, hits, tooling, why)
        said.append(finding)
    return Bent(part, tuple(said))


def like(part: Part, other: Part, tooling: Tooling) -> Part:
    """The part with the same bends divided into as many hits as in the other, for the sheet of the tooling."""
    for run in runs_of(other):
        hit = other.bend(run[0]).hit
        if hit is not None:
            part = _divided(part, part.bend(hit.of), hit.count, tooling, "")[0]
    return part


def spelled_out(part: Part, order: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The orders that an order means which names bends made hit by hit as the drawing does: their hits from the parent's end, or from
    the child's; the order itself where it names none.
    """
    runs = {hit.of: run for run in runs_of(part) if (hit := part.bend(run[0]).hit) is not None}
    out: list[tuple[str, ...]] = [()]
    for word in order:
        ways = [runs[word], runs[word][::-1]] if word in runs else [(word,)]
        out = [(*done, *way) for done in out for way in ways]
    return tuple(out)


def plannable(part: Part, thickness_mm: float) -> None:
    """Raise NotPossibleError for what no brake changes: O109 nothing to bend, M109 bends turned right round or of very large radius
    that are not divided into hits.
    """
    if not part.bends:
        raise NotPossibleError(found("O109"))
    rolls = [
        bend
        for bend in part.bends
        if bend.kind == "bend"
        and bend.hit is None
        and (bend.turned_deg > MOST_TURNED_DEG or (bend.drawn_radius_mm or 0.0) > MOST_RADIUS * thickness_mm)
    ]
    if rolls:
        raise NotPossibleError(
            [
                found("M109", where=f"bend {b.id}", bend=b.id, turned=b.turned_deg, radius=b.drawn_radius_mm or 0.0)
                for b in rolls
            ]
        )


def largest_radius_mm(tooling: Tooling) -> float:
    """The largest inside radius [mm] one stroke can make: over all dies that would be taken for the sheet, and the roundest nose."""
    t = tooling.sheet.thickness_mm
    noses = [punch.nose_radius_mm for punch in tooling.punches if punch.kind not in NOT_BENDING]
    radii = [
        natural_radius_mm(
            sheet=tooling.sheet, practice=tooling.practice, opening_mm=opening, punch_radius_mm=max(noses, default=0.0)
        )[0]
        for opening in _openings(tooling)
        if LEAST_RATIO <= opening / t <= MOST_RATIO
    ]
    return max(radii, default=0.0)


def _needs_hits(bend: Bend, thickness: float, largest: float) -> bool:
    """Whether air bending would be refused for the radius in every die: a large one of which less than half is made."""
    drawn = bend.drawn_radius_mm or 0.0
    return (
        bend.kind == "bend" and bend.hit is None and drawn > LARGE_RADIUS * thickness and largest < LEAST_MADE * drawn
    )


def _openings(tooling: Tooling) -> list[float]:
    return [die.opening_mm for die in tooling.dies if die.kind == "vee" and tooling.wished_die in (None, die.id)]


def _hits(bend: Bend, wish: Bump, tooling: Tooling, *, room: int) -> int:
    """As many as asked for; else the fewest for the facets, if the narrowest die allows so many: where nobody asked for facets, as
    many as it allows.
    """
    radius, t = bend.drawn_radius_mm or 0.0, tooling.sheet.thickness_mm
    arc = {"inside_radius_mm": radius, "thickness_mm": t, "turned_deg": bend.turned_deg}
    if wish.hits is not None:
        hits = min(wish.hits, MOST_HITS)
    else:
        facet = wish.facet_mm or FACET_MM
        hits = max(2, hits_for_facet(**arc, facet_mm=facet))
        whole = pitch_mm(**arc, k_factor=_k(radius, t), hits=1)
        wide = [v for v in _openings(tooling) if v >= NARROWEST_OVER_T * t] or _openings(tooling)
        narrowest = min(wide, default=NARROWEST_OVER_T * t)
        most = int(DIE_OVER_PITCH * whole / narrowest + 1e-9)
        if hits > most and (wish.facet_mm is not None or most < 2):
            widest = DIE_OVER_PITCH * whole / hits
            values = {"facet": facet, "hits": hits, "opening": narrowest, "most": most, "widest": widest}
            raise OutOfRangeError(found("M113", where=f"bend {bend.id}", **values))
        hits = min(hits, most) if wish.facet_mm is not None else max(2, min(hits, most, room))
    if hits > room:
        coarse = facet_height_mm(inside_radius_mm=radius, thickness_mm=t, step_deg=bend.turned_deg / max(1, room))
        values = {"hits": hits, "most": MOST_BENDS, "room": max(0, room), "facet": coarse}
        raise NotPossibleError(found("O124", where=f"bend {bend.id}", bend=bend.id, **values))
    return hits


def _made_radius_mm(made: Bumped, tooling: Tooling) -> float:
    """The inside radius that the die taken first gives a hit: the widest of no more than two pitches."""
    hit, sheet, practice = made.part.bend(made.hits[0]), tooling.sheet, tooling.practice
    wanted = wanted_opening_mm(hit, sheet.thickness_mm)
    dies = [die for die in tooling.dies if die.opening_mm <= wanted + 1e-9 and tooling.wished_die in (None, die.id)]
    punches = tuple(punch for punch in tooling.punches if punch.kind not in NOT_BENDING)
    if not dies or not punches:
        return made.hit_radius_mm
    die, punch = max(dies, key=lambda die: (die.opening_mm, die.angle_deg)), middle_nose(punches, hit)
    size, _, _ = size_on_tools(hit, sheet=sheet, die=die, punch=punch, practice=practice, bend_table=None)
    return size.inside_radius_mm


def _k(radius: float, thickness: float) -> float:
    return din_6935_k(inside_radius_mm=radius, thickness_mm=thickness) / 2.0


def _divided(part: Part, bend: Bend, hits: int, tooling: Tooling, why: str) -> tuple[Part, Finding]:
    radius, t = bend.drawn_radius_mm or 0.0, tooling.sheet.thickness_mm
    arc = {"thickness_mm": t, "k_factor": _k(radius, t)}
    made = bumped(part, bend.id, hits=hits, **arc)
    made = bumped(part, bend.id, hits=hits, **arc, hit_radius_mm=_made_radius_mm(made, tooling))
    finding = found(
        "O122",
        where=f"bend {bend.id}",
        bend=bend.id,
        radius=radius,
        hits=hits,
        step=made.step_deg,
        why=phrase(why),
        pitch=made.pitch_mm,
        facet=made.facet_height_mm,
        first=made.hits[0],
        last=made.hits[-1],
        longer=made.longer_mm(inside_radius_mm=made.hit_radius_mm),
    )
    return made.part, finding
