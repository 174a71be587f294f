"""What the shop knows about how much its sheets, its brake and its blanks vary. ``None`` = not known: a stated value is taken."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.shop.general_tolerance import Grade


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadPractice:
    """Limits plus and minus, each about its middle. ``thickness_mm`` beats the mill's table, ``strength_percent`` the
    standard's range, ``ram_mm`` and ``gauge_mm`` what the brake's record says. ``modulus_percent`` is the springback
    at equal strength (modulus loss, Bauschinger effect). The three measuring tools: micrometer, protractor, caliper.
    ``tolerance_class`` of ISO 2768-1 is held against sizes and angles that carry no tolerance.
    """

    thickness_mm: float | None = None
    strength_percent: float | None = None
    friction: float | None = None
    modulus_percent: float | None = None
    ram_mm: float | None = None
    gauge_mm: float | None = None
    cut_edge_mm: float | None = None
    micrometer_mm: float | None = None
    protractor_deg: float | None = None
    caliper_mm: float | None = None
    tolerance_class: Grade | None = None
