"""How this shop works: its rules, margins, methods and times. All of it is the shop's to change."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from bendwright.shop.passport import Passport
from bendwright.shop.spread_practice import SpreadPractice

AllowanceMethod = Literal["stroke_model", "din_6935", "k_factor", "k_table", "handbook"]
BendModel = Literal["mechanics", "charts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HandlingTimes:
    """Editable seconds of the time model (invented defaults until the shop logs its own)."""

    position_s: float = 6.0
    stroke_s: float = 12.0
    flip_s: float = 8.0
    turn_s: float = 4.0
    gauge_move_s: float = 2.0
    station_change_s: float = 5.0
    load_unload_s: float = 20.0
    setup_base_s: float = 600.0
    setup_station_s: float = 240.0
    setup_piece_s: float = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """The shop's working rules.

    ``bend_model`` answers for what nothing better is known of: the stroke worked out from the mechanics, or the trade's
    charts. ``allowance`` None follows it (see ``allowance_method``); ``k_factor`` is used by the method ``k_factor``;
    ``radius_over_opening`` (by family) and ``springback_deg`` (by family) beat the models when given. Clearances in mm.
    """

    bend_model: BendModel = "mechanics"
    allowance: AllowanceMethod | None = None
    k_factor: float | None = None
    radius_over_opening: dict[str, float] = field(default_factory=dict)
    springback_deg: dict[str, float] = field(default_factory=dict)
    minimum_radius_over_thickness: dict[str, float] = field(default_factory=dict)
    hole_clearance_thicknesses: float = 2.0
    clearance_watch_mm: float = 1.5
    end_clearance_mm: float = 1.0
    max_uncovered_end_mm: float = 2.5
    finger_contact_mm: float = 8.0
    two_person_mass_kg: float = 14.0
    hand_room_mm: float = 100.0
    whip_watch_m_per_s: float = 0.5
    times: HandlingTimes = field(default_factory=HandlingTimes)
    spreads: SpreadPractice = field(default_factory=SpreadPractice)
    passport: Passport

    @property
    def allowance_method(self) -> AllowanceMethod:
        """The method asked for; else the stroke model with the mechanics, DIN 6935 with the charts."""
        return self.allowance or ("stroke_model" if self.bend_model == "mechanics" else "din_6935")
