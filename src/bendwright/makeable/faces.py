"""Which way does the grain run on every flange, which face is seen, where does the film lie, and what does the die touch?

An arrow belongs to the sheet, not to the machine: turning the sheet over mirrors it and changes its face, turning it round turns
it, and a mirrored part carries it mirrored. So the face that is seen can be followed through every handling step. A bend
presses the outer face on the shoulders of the die: that is the bottom face for a bend up, the top face for a bend down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from bendwright.makeable.line import Fix, Line
from bendwright.makeable.looked import Looked
from bendwright.part.blank_model import Blank
from bendwright.part.model import Part, VisibleSide
from bendwright.said import phrase, say
from bendwright.shop.sheet import FilmSides, Sheet
from bendwright.stroke.result import Verdict

Face = Literal["top", "bottom"]
OTHER: dict[Face, Face] = {"top": "bottom", "bottom": "top"}
GRAIN_DEG = {"along_x": 0.0, "along_y": 90.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """One flange's arrow: direction of the grain [deg, 0 to 180, counter-clockwise from the x axis it is seen in; None = not
    known], the face that is up, the face that is seen and where the film lies. ``up`` starts as ``top``.
    """

    flange_id: str
    grain_deg: float | None
    up: Face
    visible_side: VisibleSide
    film_sides: FilmSides

    @property
    def seen_from_above(self) -> bool | None:
        """Is the visible face up? None where the drawing does not say which it is."""
        if self.visible_side in ("unknown", "none"):
            return None
        return self.visible_side in ("both", self.up)


def arrows_of(part: Part, blank: Blank, sheet: Sheet) -> tuple[Arrow, ...]:
    """The arrow of every flange in its own frame, top face up, as it lies in the blank on that sheet."""
    grain = GRAIN_DEG.get(sheet.grain)
    return tuple(
        Arrow(
            flange_id=flat.flange_id,
            grain_deg=None if grain is None else _half(grain - math.degrees(flat.angle_rad)),
            up="top",
            visible_side=part.header.visible_side,
            film_sides=sheet.film_sides,
        )
        for flat in blank.flats
    )


def _half(deg: float) -> float:
    """A direction without a head, 0 to below 180."""
    turned = round(deg % 180.0, 9)
    return 0.0 if turned >= 180.0 else turned


def turned_over(arrow: Arrow, *, about: Literal["x", "y"]) -> Arrow:
    """The arrow after the sheet is turned over about the x or the y axis it is seen in: mirrored, the other face up.

    A direction without a head mirrors the same way about either axis. Twice it is the arrow again.
    """
    grain = None if arrow.grain_deg is None else _half(-arrow.grain_deg if about == "x" else 180.0 - arrow.grain_deg)
    return replace(arrow, grain_deg=grain, up=OTHER[arrow.up])


def turned_round(arrow: Arrow, *, by_deg: float) -> Arrow:
    """The arrow after the sheet is turned in its plane, counter-clockwise."""
    return replace(arrow, grain_deg=None if arrow.grain_deg is None else _half(arrow.grain_deg + by_deg))


def face_lines(looked: Looked) -> Iterator[Line]:
    """Grain asked for against grain of the sheet, and what presses on the face that is seen."""
    taken = looked.taken
    if taken is None:
        return
    yield from _grain(looked)
    visible = looked.drawn.header.visible_side
    if visible not in ("top", "bottom", "both"):
        return
    pressed: dict[Face, list[str]] = {}
    for bend in taken.part.bends:
        face: Face = "bottom" if bend.direction == "up" else "top"
        pressed.setdefault(face, []).append(bend.id)
    for face, bends in pressed.items():
        if visible in (face, "both"):
            yield _marked(looked, face, bends)


def _grain(looked: Looked) -> Iterator[Line]:
    asked, have = looked.drawn.header.grain, looked.sheet.grain
    if asked not in GRAIN_DEG:
        return
    verdict: Verdict = "ok" if have == asked else "watch"
    said = {"along_x": "along x", "along_y": "along y", "unknown": "not known"}
    yield Line(
        group="face",
        what=say("line.grain_asked", said=phrase(said[asked]), said2=phrase(said[have])),
        places=("blank",),
        value=None,
        limit=None,
        unit="",
        bound="none",
        rule="the rolling direction on the blank is the one of the drawing",
        source="the drawing",
        verdict=verdict,
        fix=None
        if verdict == "ok"
        else Fix(sentence=say("fix.cut_with_grain", said=phrase(said[asked])), amount=90.0, unit="deg"),
    )


def _marked(looked: Looked, face: Face, bends: list[str]) -> Line:
    """The face that is seen lies on the die: marks of its shoulders, unless film keeps them off."""
    film = looked.sheet.film_sides in (face, "both")
    return Line(
        group="face",
        what=say(f"line.visible_{face}", film=phrase(", under film" if film else "")),
        places=tuple(f"bend {bend_id}" for bend_id in bends),
        value=None,
        limit=None,
        unit="",
        bound="none",
        rule="the outer face of a bend slides over the shoulders of the die and is marked by them",
        source="common practice, no source",
        verdict="ok" if film else "watch",
        fix=None if film else Fix(sentence="film or an insert on the die, or a die with wider shoulder radii"),
    )
