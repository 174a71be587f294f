"""A part file written from fields: reading it gives the same part, and the same fields to be typed on."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.drawing.demo_parts import demo_file, demo_files
from bendwright.drawing.panel_typed import panel_fields_of, panel_from_fields
from bendwright.drawing.part_file import part_from_text
from bendwright.drawing.part_text import part_file_text
from bendwright.drawing.yaml_lines import read_text

BOX: dict[str, Any] = {
    "base": {
        "width": "180",
        "depth": "4.5 in",
        "tolerance": "+0/-0.5",
        "holes": [{"diameter": "6,5", "at": [["30", "40,5"], ["110 mm", "40"]], "name": "drain: left"}],
        "notches": [{"edge": "back", "corner": "left", "width": "10", "depth": "8", "shape": "round"}],
        "hem": [
            {"edge": "left", "kind": "open", "gap": "2", "length": "9", "direction": "down", "left": "14", "right": "4"}
        ],
    },
    "flanges": [
        {
            "edge": "front",
            "name": "null",
            "leg": "55",
            "included": "100",
            "direction": "up",
            "left": "20",
            "right": "20",
            "radius": "1.5",
            "measured_to": "mould_line",
            "fit": "yes",
            "relief": {"width": "2", "depth": "5", "shape": "round"},
            "slots": [{"length": "12", "width": "5", "axis": "30", "from_right": "40", "from_far": "20"}],
            "cutouts": [
                {"width": "20", "height": "9", "from_left": "30", "from_bend": "38"},
                {"points": [["60", "30"], ["80", "30"], ["70", "45"]]},
            ],
            "flanges": [{"edge": "far", "leg": "12", "direction": "up", "taper_left": "2", "taper_right": "-1"}],
        },
        {"edge": ["right", "back"], "leg": "1-5/8 in", "direction": "down", "left": "12", "right": "12"},
    ],
}
HEAD = {
    "part_no": "0012",
    "revision": "1e3",
    "title": "Box: 'open' #2",
    "unit": "mm",
    "thickness": "1,5",
    "material": "DC01",
}


@pytest.mark.origin("law", "what is written is what was typed")
def test_a_panel_with_everything_is_read_back() -> None:
    """Every kind of opening, relief, hem, taper and tolerance; header texts that YAML would take for something else."""
    fields = {**HEAD, "customer": "~", "notes": ["- first", "second: 2"], "visible_side": "top", "panel": BOX}
    text = part_file_text(fields)
    part = part_from_text(text, "box.yaml")
    assert part == panel_from_fields(fields)
    assert (part.header.part_no, part.header.revision, part.header.customer) == ("0012", "1e3", "~")
    assert part.header.notes == ("- first", "second: 2")
    assert panel_fields_of(text) == BOX
    assert len(part.bends) == 5


@pytest.mark.origin("law", "a shipped panel typed on and kept again is the same panel")
@pytest.mark.parametrize("demo", [name for name in demo_files() if panel_fields_of(read_text(demo_file(name)))])
def test_shipped_panels_are_read_back(demo: str) -> None:
    """Fields out of the file, written anew."""
    panel = panel_fields_of(read_text(demo_file(demo)))
    fields = {**HEAD, "panel": panel}
    text = part_file_text(fields)
    assert panel_fields_of(text) == panel
    assert part_from_text(text, "again.yaml") == panel_from_fields(fields)


WORDS = st.text(min_size=1, max_size=12).map(str.strip).filter(lambda text: text and text.isprintable())


@pytest.mark.origin("law", "any word that can be typed in a cell is read from the file as it was typed")
@given(words=st.lists(WORDS, min_size=1, max_size=4), group=st.dictionaries(WORDS, WORDS, min_size=1, max_size=3))
def test_any_words_are_kept(words: list[str], group: dict[str, str]) -> None:
    """Lists and groups of odd words."""
    panel = {
        "base": {"width": words[0], "edge": words, "points": [words]},
        "flanges": [{"name": words[-1], "relief": group}],
    }
    assert panel_fields_of(part_file_text({**HEAD, "panel": panel})) == panel


@pytest.mark.origin("law", "blank is unknown: it is left out, not written as nothing")
def test_blanks_are_left_out() -> None:
    """Empty words, lists and None."""
    text = part_file_text(
        {
            "part_no": "A",
            "revision": "B",
            "title": " ",
            "notes": [],
            "quantity": None,
            "panel": {"base": {"width": "9", "fit": ""}},
        }
    )
    assert text == "part_no: A\nrevision: B\npanel:\n  base:\n    width: 9\n"
