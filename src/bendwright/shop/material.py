"""What the sheet is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bendwright.shop.passport import Passport

Family = Literal["steel", "galvanized", "stainless", "aluminium", "copper", "brass"]
HardeningLaw = Literal["swift", "hollomon", "voce"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardening:
    """Flow curve: Swift K(e0+e)^n, Hollomon K e^n, Voce Rsat-(Rsat-Rp)exp(-b e).

    ``k_mpa`` is K or Rsat, ``e0_or_b`` e0 or b (0 for Hollomon), ``n`` is None for Voce.
    """

    law: HardeningLaw
    k_mpa: float
    e0_or_b: float
    n: float | None
    provenance: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One material. Strengths are the values in use (typical or certificate); ``tensile_range_mpa`` is the standard's.

    ``family`` picks the gauge table; ``springback_deg`` and ``radius_over_opening`` are the shop's own practice
    (``None`` = unknown, a model is asked). Provenance says for each value where it was read. ``aliases`` are other
    names a person may use (material number, short name).
    """

    name: str
    standard: str
    family: Family
    density_kg_per_m3: float
    youngs_modulus_mpa: float
    poisson: float
    yield_mpa: float
    tensile_mpa: float
    tensile_range_mpa: tuple[float, float] | None = None
    uniform_elongation: float | None = None
    hardening: Hardening | None = None
    springback_deg: float | None = None
    radius_over_opening: float | None = None
    provenance: str
    aliases: tuple[str, ...] = ()
    passport: Passport
