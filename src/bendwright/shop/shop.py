"""The whole shop in one record: materials, cabinet, brakes, practice, bend table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bendwright.findings import Finding
from bendwright.shop.bend_table import BendTable
from bendwright.shop.brake import Brake
from bendwright.shop.material import Material
from bendwright.shop.practice import Practice
from bendwright.shop.tools import Cabinet


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What a job can draw on. ``materials`` by name (built-in ones plus the shop's own), ``brakes`` by id.

    ``findings`` are the watches and notes met while reading (missing fields, mixed heights); errors never get this far.
    """

    name: str
    materials: Mapping[str, Material]
    cabinet: Cabinet
    brakes: Mapping[str, Brake]
    practice: Practice
    bend_table: BendTable | None = None
    findings: tuple[Finding, ...] = ()
