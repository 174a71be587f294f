"""Jogs that no offset pair makes, or only with more force than it bears, are refused by name."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, prepare
from bendwright.shop.shop import Shop
from shop_talk import SHOP, of_code, profile, sheet, shop_with


def _refused(text: str, shop: Shop, code: str) -> str:
    with pytest.raises(NotPossibleError) as caught:
        prepare(profile(text), sheet("S235JR", "1.5"), shop, Wishes(brake_id="M1"))
    return of_code(caught.value.findings, code)[0].sentence


def test_a_pair_too_weak_for_the_jog() -> None:
    """Even the low end of the load is more than is stamped on the punch."""
    weak = tuple(replace(p, max_line_load_kn_per_m=300.0) if p.id == "J45" else p for p in SHOP.cabinet.punches)
    said = _refused("40 u90 6 d90 50 x 300", shop_with(punches=weak), "K131")
    assert said.startswith("Making jog b2 + b1 in one stroke takes ")
    assert said.endswith("kN/m (punch line load), the limit is 300 kN/m.")


def test_no_pair_at_all() -> None:
    """A cabinet without offset tools, or with halves that do not belong together."""
    bare = tuple(p for p in SHOP.cabinet.punches if p.kind != "offset")
    odd = tuple(replace(p, nose_radius_mm=0.5) if p.kind == "offset" else p for p in SHOP.cabinet.punches)
    for punches in (bare, odd):
        said = _refused("40 u90 6 d90 50 x 300", shop_with(punches=punches), "O130")
        assert said == (
            "Jog b2 + b1 (step 4.50 mm, 90 degrees turned) is not made in one stroke either: the cabinet holds no offset punch and "
            "die that belong together."
        )


def test_no_flange_left_on_the_land() -> None:
    """A flange that is nothing but the arc has nothing to lie on."""
    said = _refused("3.5 u90 6 d90 50 x 300", SHOP, "O130")
    assert "too little to lie on its lands: 1.00 mm straight beside the arcs, 1.50 mm wanted" in said
