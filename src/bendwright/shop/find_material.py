"""A material by what a person calls it."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from bendwright.findings import InputError, found
from bendwright.shop.material import Material


def find_material(name: str, materials: Mapping[str, Material], *, where: str = "material") -> Material:
    """The material of that name or alias (case, spaces and dashes do not matter), or the only one that begins so.

    Raises InputError: S128 with the nearest names when there is none, S139 when several fit.
    """
    wanted = _bare(name)
    exact = [item for item in materials.values() if wanted in {_bare(known) for known in (item.name, *item.aliases)}]
    if len(exact) == 1:
        return exact[0]
    fits = exact or [
        item
        for item in materials.values()
        if wanted and any(_bare(known).startswith(wanted) for known in (item.name, *item.aliases))
    ]
    if len(fits) == 1:
        return fits[0]
    if fits:
        matches = ", ".join(item.name for item in fits)
        raise InputError(found("S139", where=where, name=name, matches=matches))
    near = get_close_matches(name, materials, n=3, cutoff=0.3) or sorted(materials)
    raise InputError(found("S128", where=where, name=name[:60], near=", ".join(near)))


def _bare(name: str) -> str:
    """A name without case, spaces and punctuation."""
    return "".join(mark for mark in name.lower() if mark.isalnum())
