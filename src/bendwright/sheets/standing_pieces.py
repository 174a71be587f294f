"""Every piece that hangs or stands at a station, one by one, with its place on the bed: what a setter ticks off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from bendwright.plan.result import PickedPiece, Station


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingPiece:
    """One piece: in which row, its number there from the left, tool ("" = a clamp), name, length and left end on the bed [mm], and where it
    is kept.
    """

    row: Literal["punch", "die", "clamp"]
    number: int
    tool_id: str
    label: str
    length_mm: float
    at_mm: float
    location: str


def standing_pieces(station: Station) -> tuple[StandingPiece, ...]:
    """Punch pieces, die pieces, then clamps, each from left to right."""
    left = station.left_end_z_mm
    clamps = sorted(station.clamps, key=lambda clamp: clamp.from_mm)
    return (
        *_stack("punch", station.punch_pieces, left),
        *_stack("die", station.die_pieces, left),
        *(
            StandingPiece(
                row="clamp",
                number=number,
                tool_id="",
                label="",
                length_mm=clamp.length_mm,
                at_mm=left + clamp.from_mm,
                location="",
            )
            for number, clamp in enumerate(clamps, start=1)
        ),
    )


def _stack(row: Literal["punch", "die"], pieces: Sequence[PickedPiece], left_mm: float) -> list[StandingPiece]:
    starts = accumulate((piece.length_mm for piece in pieces), initial=left_mm)
    return [
        StandingPiece(
            row=row,
            number=number,
            tool_id=piece.tool_id,
            label=piece.label,
            length_mm=piece.length_mm,
            at_mm=start,
            location=piece.location,
        )
        for number, (piece, start) in enumerate(zip(pieces, starts, strict=False), start=1)
    ]
