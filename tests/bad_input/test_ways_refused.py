"""Hems, steps, curves, corners and bends pressed home that go wrong: exit code, finding, sentence, nothing else."""

from __future__ import annotations

import json

import pytest

from bendwright.cli.app import run
from bendwright.findings import OutOfRangeError
from bendwright.mechanics.bump_stroke import ClosedHit
from bendwright.mechanics.skewed_corners import between_deg, fold_turned_deg
from bendwright.shop.read import built_in_shop
from bendwright.shop.sheet_words import sheet_from_words
from bendwright.stroke.hemmed import HemTools, acute_dies, hem_job

STEEL = ["--shop", "saltmarsh", "--material", "S235JR", "--thickness"]
HEM = ["hem", "--shop", "saltmarsh", "--material", "DX51D+Z", "--thickness", "0.7"]
ROUND = ["curve", "round", *STEEL, "2"]
CONE = ["curve", "cone", *STEEL, "2"]
CORNER = ["corner", "--shop", "saltmarsh"]

REFUSED = {
    "step smaller than its arcs": (
        ["offset", *STEEL, "2", "--step", "1"],
        1,
        "W101 A step of 1 mm is smaller than two arcs turned 90 degrees need; with these radii and this thickness the "
        "least is 6 mm.",
    ),
    "too many hits": (
        [*ROUND, "--radius", "5000", "--turned", "360", "--step", "0.1"],
        1,
        "W102 3600 hits would be needed; more than 2000 are not laid out.",
    ),
    "cone that is none": (
        [*CONE, "--small", "100", "--large", "100", "--height", "50"],
        1,
        "W104 The large end (100 mm) is not larger than the small end (100 mm); this is no cone.",
    ),
    "cone upside down": (
        [*CONE, "--small", "120", "--large", "100", "--height", "50"],
        1,
        "W104 The large end (100 mm) is not larger than the small end (120 mm); this is no cone.",
    ),
    "strip that is none": (
        [*HEM, "--leg", "12", "--strip", "74.9/12.1"],
        2,
        "W160 '74.9/12.1' is no test strip; three lengths with strokes between them are needed.",
    ),
    "hem in a blunt die": (
        [*HEM, "--leg", "12", "--die", "V16"],
        1,
        "W161 The cabinet has no acute die for the pre-bend of a hem, or not the one wished.",
    ),
    "hem with a blunt punch": (
        [*HEM, "--leg", "12", "--punch", "P1"],
        1,
        "W161 The cabinet has no acute punch for the pre-bend of a hem, or not the one wished.",
    ),
    "one leg": (
        ["offset", *STEEL, "2", "--step", "20", "--legs", "50"],
        2,
        "W162 '50' are not two legs.",
    ),
    "step bent too far": (
        ["offset", *STEEL, "2", "--step", "20", "--turned", "120"],
        2,
        "W163 A step turned 120 degrees is not laid out; allowed is 1 to 90.",
    ),
    "divided twice": (
        [*ROUND, "--radius", "150", "--facet", "0.1", "--hits", "22"],
        2,
        "W164 2 of --facet, --step and --hits were given; one of them divides the arc.",
    ),
    "one size": (
        [*CORNER, "--top", "400", "--bottom", "200x200", "--height", "500"],
        2,
        "W165 '400' are not two sizes.",
    ),
    "no hits": (
        [*ROUND, "--radius", "150", "--hits", "0"],
        2,
        "W166 0 hits were given; allowed is 1 to 2000.",
    ),
    "more than one turn": (
        [*ROUND, "--radius", "150", "--turned", "360.5"],
        2,
        "Q112 ",
    ),
    "open hem without gap": (
        [*HEM, "--leg", "12", "--kind", "open"],
        2,
        "W167 For the open hem no --gap was given, the width inside its loop.",
    ),
    "closed hem with a gap": (
        [*HEM, "--leg", "12", "--kind", "closed", "--gap", "3"],
        2,
        "W168 --gap 3 came with a closed hem, which has no gap.",
    ),
    "unknown die": (
        [*ROUND, "--radius", "150", "--die", "V99"],
        2,
        "C115 ",
    ),
    "nothing but a verb": (
        ["curve", "round", *STEEL, "2"],
        2,
        "C101 The command line cannot be read: Missing option '--radius'.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code and sentence; as JSON the same and nothing on standard error."""
    arguments, code, expected = REFUSED[name]
    assert run([*arguments, "--json"]) == code
    printed = capsys.readouterr()
    assert printed.err == ""
    findings = json.loads(printed.out)["findings"]
    assert f"{findings[0]['code']} {findings[0]['sentence']}".startswith(expected)
    assert findings[0]["cure"]


WATCHED = {
    "W110": ["bend", *STEEL, "2", "--included", "88", "--method", "bottom", "--die", "V16"],
    "W111": ["bend", *STEEL, "2", "--included", "88", "--method", "coin", "--die", "V16"],
    "W112": ["bend", *STEEL, "2", "--included", "88", "--method", "coin"],
    "W169": ["bend", *STEEL, "2", "--included", "88", "--method", "bottom", "--at", "2900 mm"],
    "W120": [*HEM, "--leg", "12"],
    "W121": [*HEM, "--leg", "12"],
    "W122": [*HEM, "--leg", "9"],
    "W124": [*HEM, "--leg", "12", "--reduction", "40"],
    "W125": [*HEM, "--leg", "12"],
    "W130": ["offset", *STEEL, "3", "--step", "12"],
    "W140": ["curve", "round", *STEEL, "4", "--radius", "60", "--step", "1"],
    "W141": [*ROUND, "--radius", "100", "--die", "V6", "--hits", "20"],
    "W142": [*ROUND, "--radius", "2000", "--step", "0.5"],
    "W143": ["curve", "round", *STEEL, "1", "--radius", "20", "--turned", "300", "--step", "10", "--front", "60"],
    "W144": [*ROUND, "--radius", "90", "--turned", "170", "--step", "5", "--front", "160", "--back", "60"],
    "W145": [*CONE, "--small", "100", "--large", "160", "--height", "400"],
    "W146": [*ROUND, "--radius", "150", "--facet", "0.1"],
    "W147": [*ROUND, "--radius", "600", "--facet", "0.1", "--front", "60", "--back", "60"],
    "W150": [*CORNER, "--top", "400x400", "--bottom", "200x200", "--height", "500", "--brake", "M1"],
    "W151": [*CORNER, "--top", "400x400", "--bottom", "200x200", "--height", "500", "--brake", "M2"],
}
SILENT = {
    "W169": ["bend", *STEEL, "2", "--included", "88", "--method", "bottom"],
    "W122": [*HEM, "--leg", "12"],
    "W124": [*HEM, "--leg", "12", "--reduction", "55"],
    "W125": [*HEM, "--leg", "12", "--reduction", "55"],
    "W130": ["offset", *STEEL, "1.5", "--step", "20"],
    "W140": [*ROUND, "--radius", "150", "--facet", "0.1", "--front", "60", "--back", "60"],
    "W143": [*ROUND, "--radius", "150", "--facet", "0.1", "--front", "60", "--back", "60"],
    "W146": [*ROUND, "--radius", "150", "--facet", "0.1", "--front", "60", "--back", "60"],
    "W147": [*ROUND, "--radius", "150", "--facet", "0.1", "--front", "60", "--back", "60"],
    "W150": [*CORNER, "--top", "400x400", "--bottom", "200x200", "--height", "500", "--brake", "M2"],
    "W151": [*CORNER, "--top", "400x400", "--bottom", "400x400", "--height", "500", "--brake", "M2"],
}


def codes(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> list[str]:
    """The codes said with a result that is given all the same."""
    assert run([*arguments, "--json"]) == 0
    return [finding["code"] for finding in json.loads(capsys.readouterr().out)["findings"]]


@pytest.mark.parametrize("code", WATCHED)
def test_said(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The result is given, and the caution with it."""
    assert code in codes(WATCHED[code], capsys)


@pytest.mark.parametrize("code", SILENT)
def test_not_said(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is said where nothing is wrong."""
    assert code not in codes(SILENT[code], capsys)


def test_a_hit_that_never_stays() -> None:
    """W103: soft modulus, hard sheet: what is bent further springs back again."""
    hit = ClosedHit(
        thickness_mm=0.5,
        half_centre_mm=40.0,
        shoulder_radius_mm=2.0,
        nose_radius_mm=1.0,
        youngs_modulus_mpa=10e3,
        poisson=0.3,
        yield_mpa=1500.0,
    )
    with pytest.raises(OutOfRangeError) as caught:
        hit(2.0)
    assert caught.value.findings[0].code == "W103"


def test_faces_that_are_none() -> None:
    """W105: a vector along the fold, or of no length."""
    for vector in ((0.0, 0.0, 2.0), (0.0, 0.0, 0.0)):
        with pytest.raises(OutOfRangeError) as caught:
            fold_turned_deg(fold=(0.0, 0.0, 1.0), first=(1.0, 0.0, 0.0), second=vector)
        assert caught.value.findings[0].sentence == (
            "The second direction has no length across the fold; a face needs two directions."
        )
    with pytest.raises(OutOfRangeError) as caught:
        between_deg(first=(0.0, 0.0, 0.0), second=(1.0, 0.0, 0.0))
    assert caught.value.findings[0].code == "W105"


def test_no_flattening_pair() -> None:
    """W123: the hem is worked out all the same, the loads held against the brake alone."""
    shop = built_in_shop("saltmarsh")
    sheet = sheet_from_words(material_name="DX51D+Z", thickness_text="0.7", measured_texts=(), shop=shop)
    tools = HemTools(
        acute_die=acute_dies(shop.cabinet.dies)[0], acute_punch=shop.cabinet.punch("P3"), flat_punch=None, flat_die=None
    )
    job = hem_job(
        kind="closed",
        leg_mm=12.0,
        gap_mm=None,
        length_mm=500.0,
        reduction_percent=None,
        tools=tools,
        sheet=sheet,
        practice=shop.practice,
        brake=shop.brakes["M1"],
    )
    assert "W123" in [finding.code for finding in job.findings]
    assert len([check for check in job.checks if "line load" in check.name]) == 3
