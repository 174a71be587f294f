"""What a tablet sends of one reading: the words as they were typed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from bendwright.bench.asked import LENGTH_TEXT, TEXT, Asked

Typed = Annotated[str, Field(max_length=LENGTH_TEXT)]
Name = Annotated[str, Field(max_length=TEXT)]


class BendWords(Asked):
    """Angles of one bend, left and right as the operator sees them; "" = not read."""

    bend: Name
    left: Typed = ""
    centre: Typed = ""
    right: Typed = ""


class LegWords(Asked):
    """Outside length of one flange."""

    flange: Name
    length: Typed = ""


class ReadingWords(Asked):
    """One entry after a stroke of a piece. ``unit`` is that of bare lengths; ``confirmed`` = measured again and it stands; ``withdrawn`` =
    the person took the entry back.
    """

    stroke: Annotated[int, Field(ge=1, le=1000)]
    piece: Annotated[int, Field(ge=1, le=10_000_000)] = 1
    bends: Annotated[tuple[BendWords, ...], Field(max_length=80)] = ()
    legs: Annotated[tuple[LegWords, ...], Field(max_length=80)] = ()
    thickness: Typed = ""
    angle_kind: Literal["included", "turned"] = "included"
    unit: Literal["mm", "inch"] = "mm"
    confirmed: bool = False
    withdrawn: bool = False
    taken_at: Annotated[AwareDatetime, Field(description="The tablet's clock, with its zone.")]
