"""The files shown in docs/shop-files.md are files that work."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bendwright.shop.bend_table import look_up
from bendwright.shop.read import read_shop

PAGE = Path(__file__).parents[2] / "docs" / "shop-files.md"


@pytest.mark.origin("law", "the manual's examples read as the manual says")
def test_the_examples_of_the_page_make_a_shop(tmp_path: Path) -> None:
    """All blocks of the page, put in a folder, are one shop."""
    text = PAGE.read_text(encoding="utf-8")
    blocks = dict(re.findall(r"^## (\w+\.\w+)\n\n```\w+\n(.*?)^```", text, re.MULTILINE | re.DOTALL))
    passport = re.search(r"```yaml\n(passport:.*?)^```", text, re.MULTILINE | re.DOTALL)
    assert passport is not None
    assert sorted(blocks) == [
        "bend_table.csv",
        "brakes.yaml",
        "dies.yaml",
        "materials.yaml",
        "practice.yaml",
        "punches.yaml",
    ]
    (tmp_path / "shop.yaml").write_text(f"{passport[1]}name: page shop\n", encoding="utf-8")
    for name, block in blocks.items():
        (tmp_path / name).write_text(block, encoding="utf-8")
    shop = read_shop(tmp_path)
    assert [finding.code for finding in shop.findings] == ["S126"]
    assert [punch.id for punch in shop.cabinet.punches] == ["P1", "P2", "P3", "P4"]
    assert shop.materials["DC01"].tensile_mpa == 335.0
    assert shop.brakes["M1"].missing_fields() == ()
    assert shop.brakes["M1"].punch_clamps is None
    clamps = re.search(r"```yaml\n(    punch_held: clamps\n.*?)^```", text, re.MULTILINE | re.DOTALL)
    assert clamps is not None
    railed = "    punch_held: one_rail\n    punch_holder_height: 0 mm\n"
    assert railed in blocks["brakes.yaml"]
    (tmp_path / "brakes.yaml").write_text(blocks["brakes.yaml"].replace(railed, clamps[1]), encoding="utf-8")
    clamped = read_shop(tmp_path).brakes["M1"]
    assert (clamped.missing_fields(), clamped.above_punch_mm) == ((), 127.0)
    assert shop.bend_table is not None
    cell = {"material": "S235JR", "thickness_mm": 2.0, "opening_mm": 16.0, "punch_radius_mm": 0.8}
    assert look_up(shop.bend_table, **cell, turned_deg=90.0, measured_to="mould_line") == (
        3.9,
        "shop table: S235JR, t 2, V 16, any punch, 90 degrees",
        2.6,
    )
