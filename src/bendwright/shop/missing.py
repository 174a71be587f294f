"""Which fields of brakes and tools has nobody filled in?"""

from __future__ import annotations

from dataclasses import fields

from bendwright.shop.shop import Shop
from bendwright.shop.tools import Die, Punch


def missing_of_tool(tool: Punch | Die) -> tuple[str, ...]:
    """Names of the fields of a tool that are not known; ``pieces.ground_height_mm`` when that of any piece is not."""
    own = [item.name for item in fields(tool) if getattr(tool, item.name) is None and item.name != "offset"]
    ground = any(piece.ground_height_mm is None for piece in tool.pieces)
    return (*own, *(["pieces.ground_height_mm"] if ground else []))


def missing_fields(shop: Shop) -> dict[str, list[str]]:
    """By brake, punch and die (``punch P1``): the names of the fields that are not filled in."""
    gaps = {f"brake {b.id}": [*b.missing_fields(), *b.missing_bow_fields()] for b in shop.brakes.values()}
    gaps |= {f"punch {tool.id}": list(missing_of_tool(tool)) for tool in shop.cabinet.punches}
    gaps |= {f"die {tool.id}": list(missing_of_tool(tool)) for tool in shop.cabinet.dies}
    return {name: names for name, names in gaps.items() if names}
