"""What the part page refuses, each with its exact sentence."""

from __future__ import annotations

import pytest

from bendwright.bench.tasks.demos import read_demo
from bendwright.bench.tasks.look import look
from bendwright.bench.tasks.panel import read_panel
from bendwright.drawing.demo_parts import demo_files
from bendwright.findings import BendwrightError, Finding, InputError

BARE = {
    "material": None,
    "thickness": None,
    "readings": [],
    "tensile": None,
    "film": None,
    "grain": None,
    "batch": None,
}


def refused(call: object, given: dict[str, object]) -> list[Finding]:
    """The findings of a task that is refused."""
    with pytest.raises(BendwrightError) as caught:
        call(given, lambda said: None)  # type: ignore[operator]
    return list(caught.value.findings)


def test_an_example_that_is_not_there() -> None:
    """B221 names what there is."""
    (finding,) = refused(read_demo, {"id": "../../etc/passwd"})
    known = ", ".join(demo_files())
    assert finding.code == "B221"
    assert finding.sentence == f"There is no example part ../../etc/passwd; there are: {known}."


def test_more_bends_than_can_be_looked_at() -> None:
    """B220 before anything is worked out."""
    outline = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]
    flange = {"outline": outline, "features": [], "tolerance": None, "fit": False, "arcs": []}
    bend = {
        "start": [0.0, 0.0],
        "end": [10.0, 0.0],
        "turned_deg": 90.0,
        "direction": "up",
        "measured_to": "mould_line",
        "drawn_radius_mm": None,
        "kind": "bend",
        "hem_gap_mm": None,
        "zone": [],
        "hit": None,
    }
    part = {
        "schema": "bendwright-part/1",
        "read_from": "test",
        "part": {
            "header": {
                "part_no": "P",
                "revision": "A",
                "title": "",
                "customer": "",
                "drawing_unit": "mm",
                "visible_side": "unknown",
                "grain": "unknown",
                "material": "DC01",
                "thickness_mm": 1.0,
                "quantity": None,
                "notes": [],
            },
            "flanges": [{"id": f"f{i}", **flange} for i in range(122)],
            "bends": [{"id": f"b{i}", "parent": f"f{i}", "child": f"f{i + 1}", **bend} for i in range(121)],
            "profile": False,
        },
    }
    given = {"part": part, "sheet": BARE, "shop": "saltmarsh", "wishes": {}, "quick": True, "tools": None}
    (finding,) = refused(look, given)
    assert (finding.code, finding.where) == ("B220", "part")
    assert finding.sentence == "The part has 121 bends; at most 120 can be looked at here."


@pytest.mark.parametrize(
    ("panel", "where", "sentence"),
    [
        (
            {"base": {"width": "200", "depth": "1oo"}},
            "panel.base.depth",
            "'oo' in '1oo' is not a unit of length known here.",
        ),
        (
            {"base": {"width": "200", "depth": "100"}, "flanges": [{"edge": "front", "leg": "", "direction": "up"}]},
            "panel.flanges[1].leg",
            "The field 'panel.flanges[1].leg' is missing, and a part cannot do without it.",
        ),
        ({}, "panel.base", "The field 'panel.base' is missing, and a part cannot do without it."),
    ],
)
def test_a_field_of_a_panel_is_named(panel: dict[str, object], where: str, sentence: str) -> None:
    """The place of a finding is the path of the field, so that the page can put it there."""
    words = {"part_no": "P", "revision": "A", "unit": "mm", "material": "DC01", "thickness": "1", "shop": "saltmarsh"}
    found = refused(read_panel, {**words, "panel": panel})
    assert (where, sentence) in [(finding.where, finding.sentence) for finding in found]


def test_hostile_panels_get_findings() -> None:
    """Deep, huge and mangled panels are refused with a sentence, never with a fault."""
    deep: dict[str, object] = {"edge": "far", "leg": "5", "direction": "up"}
    for _ in range(60):
        deep = {"edge": "far", "leg": "5", "direction": "up", "flanges": [deep]}
    base = {"width": "200", "depth": "100"}
    words = {"part_no": "P", "revision": "A", "unit": "mm", "material": "DC01", "thickness": "1", "shop": "saltmarsh"}
    for panel in (
        {"base": base, "flanges": [deep]},
        {"base": base, "flanges": "front"},
        {"base": {"width": "1e400", "depth": "nan"}},
        {"base": base, "holes": [{"diameter": "-5"}]},
        {"base": {**base, "holes": [{"diameter": "5", "at": [[str(i), "5"] for i in range(30000)]}]}},
        {"base": {"width": "\ud800", "depth": "\x00"}},
    ):
        with pytest.raises(InputError):
            read_panel({**words, "panel": panel}, lambda said: None)
