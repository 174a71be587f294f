"""The pick list: pieces of a stack in the order they hang from left to right."""

from __future__ import annotations

from bendwright.plan.result import PickedPiece
from bendwright.plan.stacks import Stack


def picked(stack: Stack, tool_id: str, location: str, *, turned: bool) -> tuple[PickedPiece, ...]:
    """Pieces with label and place; a stack mounted turned is read from the other end."""
    pieces = reversed(stack.pieces) if turned else iter(stack.pieces)
    return tuple(
        PickedPiece(
            tool_id=tool_id,
            length_mm=piece.length_mm,
            label=f"{piece.length_mm:g}" + (f" ear {piece.ear.side}" if piece.ear else ""),
            location=piece.location or location,
        )
        for piece in pieces
    )
