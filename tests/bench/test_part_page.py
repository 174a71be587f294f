"""The part page: what a look says, quickly and in full, and what is typed there and back."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from bendwright.bench.tasks.look import look as look_task
from bendwright.bench.tasks.panel import read_panel
from bendwright.bench.tasks.read import read_typed
from bendwright.drawing.demo_parts import demo_file, demo_files, demo_part
from bendwright.drawing.panel_typed import panel_fields_of, panel_from_fields, profile_words
from bendwright.drawing.part_file import read_part
from bendwright.drawing.quick_profile import quick_profile
from bendwright.drawing.saved_part import part_to_json
from bendwright.findings import InputError
from bendwright.part.model import Header, Part

SHEET = {
    "material": None,
    "thickness": None,
    "readings": [],
    "tensile": None,
    "film": None,
    "grain": None,
    "batch": None,
}


def look(part: Part, *, quick: bool = False, tools: dict[str, Any] | None = None, **sheet: Any) -> dict[str, Any]:
    """The look at a part in the demo shop."""
    given = {
        "part": json.loads(part_to_json(part, read_from="test")),
        "sheet": {**SHEET, **sheet},
        "shop": "saltmarsh",
        "wishes": {},
        "quick": quick,
        "tools": tools,
    }
    return dict(json.loads(look_task(given, lambda said: None)))


def channel(lips: float = 15.0) -> Part:
    """The lipped channel of the stories, with lips of that leg."""
    header = Header(part_no="S9", revision="A", material="S235JR", thickness_mm=2.0)
    return quick_profile(f"{lips:g} u90 40 u90 80 u90 40 u90 {lips:g} x 1200", header=header)


@pytest.mark.origin("derived", "2 x 15 + 2 x 40 + 80 = 190 less four deductions of 2 x 4.56 - 5.341 = 3.779")
def test_the_numbers_of_a_lipped_channel() -> None:
    """Blank, deduction and radius of four bends in the die taken, with where they come from."""
    said = look(channel())
    sides = sorted(said["blank"][side]["value"] for side in ("width", "height"))
    assert sides == pytest.approx([190.0 - 4 * 3.779, 1200.0], abs=0.005)
    assert [bend["die"] for bend in said["bends"]] == ["V16"] * 4
    for bend in said["bends"]:
        assert bend["radius"]["value"] == pytest.approx(2.56)
        assert bend["deduction"]["value"] == pytest.approx(3.779, abs=0.001)
        assert all(bend[name]["source"] for name in ("deduction", "radius", "allowance", "line_load", "force"))
    lips = [leg for bend in said["bends"] for leg in bend["legs"] if leg["verdict"]]
    assert [leg["verdict"] for leg in lips] == ["ok", "ok"]
    assert all(leg["leg"]["value"] == pytest.approx(15.0, abs=1e-5) for leg in lips)


@pytest.mark.origin("law", "a quick look in the same tools is the full look without its rules")
@pytest.mark.parametrize("demo", ["cabinet_door", "hive_roof", "splash_panel", "weather_hood", "stair_tread"])
def test_quick_and_full_agree(demo: str) -> None:
    """Every number is the same, whichever way it was asked for."""
    part = demo_part(demo)
    full = look(part)
    quick = look(part, quick=True, tools=full["tools"])
    assert (full["settled"], quick["settled"]) == (True, False)
    apart = {key for key in full if full[key] != quick[key]}
    assert apart <= {"settled", "verdict", "lines", "findings", "german"}
    assert quick["german"].items() <= full["german"].items()


@pytest.mark.origin("law", "outside dimensions stay: a longer lip makes the blank longer by as much")
def test_tools_of_the_look_before_follow_the_part() -> None:
    """A part that was changed is laid out in the same dies, bends that are new in the die of most others."""
    before = look(channel())
    after = look(channel(lips=18.0), quick=True, tools=before["tools"])
    grown = [after["blank"][side]["value"] - before["blank"][side]["value"] for side in ("width", "height")]
    assert sorted(grown) == pytest.approx([0.0, 6.0], abs=1e-6)
    header = Header(part_no="S9", revision="A", material="S235JR", thickness_mm=2.0)
    more = quick_profile("15 u90 40 u90 80 u90 40 u90 15 u90 14 x 1200", header=header)
    assert {bend["die"] for bend in look(more, quick=True, tools=before["tools"])["bends"]} == {"V16"}


@pytest.mark.origin(
    "derived", "80 between walls of 40; lips turn in: a box of 1200 x 80 x 40, its leg of 40 and its web of 80"
)
def test_a_part_without_a_material_is_shown_as_drawn() -> None:
    """Section, folded sheet and outside sizes with the drawing's radii; the material is asked for; nothing is told of a blank."""
    header = Header(part_no="S9", revision="A", thickness_mm=2.0)
    bare = quick_profile("15 u90 40 u90 80 u90 40 u90 15 x 1200", header=header)
    drawn = replace(bare, bends=tuple(replace(bend, drawn_radius_mm=3.0) for bend in bare.bends))
    said = look(drawn, quick=True)
    assert (said["drawn"], said["settled"], said["blank"], said["bends"], said["material"]) == (
        True,
        False,
        None,
        [],
        "",
    )
    assert sorted(side["value"] for side in said["outside"]) == pytest.approx([40.0, 80.0, 1200.0], abs=0.02)
    assert [flange["size"]["value"] for flange in said["flanges"]] == pytest.approx([80.0, 40.0, 15.0, 40.0, 15.0])
    assert len([cut for cut in said["section"] if cut["kind"] == "bend"]) == 4
    assert [(finding["code"], finding["where"]) for finding in said["findings"]] == [("C114", "material")]
    made = look(replace(drawn, header=replace(header, material="S235JR")))
    assert made["drawn"] is False
    assert [side["value"] for side in made["outside"]] == pytest.approx(
        [side["value"] for side in said["outside"]], abs=0.02
    )
    with pytest.raises(InputError, match="C114"):  # a radius nobody drew is not made up
        look(bare, quick=True)


@pytest.mark.origin("law", "the sheet on the rack counts, not the drawing's")
def test_the_measured_sheet_moves_the_numbers() -> None:
    """Readings are taken instead of the drawing's thickness, and the page says so."""
    said = look(channel(), readings=["1.94", "1,96", "1.95 mm"])
    assert said["thickness"]["value"] == pytest.approx(1.95)
    assert said["thickness"]["source"] == "measured"


@pytest.mark.origin("law", "lips of 5 mm do not reach over the shoulder of V16, which wants 11.3")
def test_a_short_leg_is_said_at_its_place() -> None:
    """The line names flange and bend by their ids, so that the page can put it beside them."""
    said = look(channel(lips=5.0))
    bad = [line for line in said["lines"] if line["verdict"] == "no" and line["group"] == "flange"]
    assert bad
    assert {"leg1", "leg5"} <= {flange for line in bad for flange in line["flanges"]}
    assert {"b1", "b4"} <= {bend for line in bad for bend in line["bends"]}


@pytest.mark.origin("law", "bends that take all of a flange leave no blank")
def test_a_part_that_cannot_be_laid_out_says_why() -> None:
    """No number is made up where there is none."""
    header = Header(part_no="X", revision="A", material="S235JR", thickness_mm=2.0)
    part = quick_profile("30 u90 3 u90 30 x 100", header=header)
    for quick in (True, False):
        said = look(part, quick=quick)
        assert (said["blank"], said["mesh"], said["bends"]) == (None, None, [])
        assert {finding["code"] for finding in said["findings"]} <= {"M101", "M106"}
        assert said["findings"]


@pytest.mark.origin("law", "the same words make the same part, typed in fields or in a file")
@pytest.mark.parametrize("demo", ["cabinet_door", "hive_roof", "station_tray"])
def test_panels_there_and_back(demo: str) -> None:
    """The fields of a part file, sent as they came back, make the part of the file."""
    path = demo_file(demo)
    panel, part = panel_fields_of(path.read_text(encoding="utf-8")), read_part(path)
    assert panel is not None
    head = part.header
    fields = {"part_no": head.part_no, "revision": head.revision, "material": head.material, "panel": panel}
    again = panel_from_fields({**fields, "thickness": f"{head.thickness_mm} mm"})
    assert (again.flanges, again.bends) == (part.flanges, part.bends)


@pytest.mark.origin("law", "typed, read, and typed again is the same part")
@pytest.mark.parametrize(
    "line",
    [
        "15 u90 40 u90 80 u90 40 u90 15 x 1200",
        "60 u45 30 d120 25.4 x 300",
        "2in u 1-5/8in d30 50 x 12in",
        "57/i u90 48.5/i x 2000",
    ],
)
def test_profiles_there_and_back(line: str) -> None:
    """A profile comes back as a line that makes the same part."""
    header = Header(part_no="P", revision="A", thickness_mm=2.0)
    part = quick_profile(line, header=header)
    words = profile_words(part)
    assert words
    again = quick_profile(words, header=header)
    for one, other in zip(part.flanges, again.flanges, strict=True):
        for a, b in zip(one.outline, other.outline, strict=True):
            assert a == pytest.approx(b, abs=1e-4)


@pytest.mark.origin("law", "a line that cannot say everything is no line")
def test_profiles_with_holes_are_not_told_in_one_line() -> None:
    """Nothing of a part is lost by offering a line to type on."""
    for demo in demo_files():
        part = demo_part(demo)
        if any(flange.features or flange.tolerance for flange in part.flanges):
            assert profile_words(part) == ""


@pytest.mark.origin("law", "a draft says what it was typed in")
def test_drafts_can_be_typed_on() -> None:
    """A typed profile gives its line, a typed panel its fields."""
    draft = read_typed(
        {
            "profile": "30 u90 40 x 100",
            "part_no": "P",
            "revision": "A",
            "unit": "mm",
            "material": "DC01",
            "thickness": "1.5",
            "shop": "saltmarsh",
        },
        lambda said: None,
    )
    assert draft.line == "30 u 40 x 100"
    panel = {"base": {"width": "200", "depth": "100"}, "flanges": [{"edge": "front", "leg": "30", "direction": "up"}]}
    words = {"part_no": "P", "revision": "A", "unit": "mm", "material": "DC01", "thickness": "1.5", "shop": "saltmarsh"}
    typed = read_panel({**words, "panel": panel}, lambda said: None)
    assert (typed.panel, typed.flanges) == (panel, ["base", "front"])


@pytest.mark.origin("law", "what every brake refuses for the same reason is said once")
def test_one_sentence_for_all_brakes() -> None:
    """The reasons no brake can do a part are not repeated brake by brake."""
    findings = look(channel(lips=5.0))["findings"]
    said = [(finding["code"], finding["sentence"]) for finding in findings]
    assert said
    assert len(said) == len(set(said))
