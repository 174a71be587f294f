"""What is no bent sheet gets a finding that says what came; nothing else may come out."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from kernel_bending import bend
from not_sheets import FILES, SHAPES, folded_into_itself, point_far_away
from same_part import HEADER
from sheet_parts import Bent, profile
from step_files import anywhere, moved, write_step

from bendwright.drawing.reading import Reading, ReadLimits
from bendwright.findings import Finding, PartFileError, Severity

NEVER_ENDING = {"no_numbers"}
"""Files the kernel itself never comes back from: only the guarded way answers."""
NO_SHEET = "these bodies and files hold no sheet of one thickness bent along straight lines"


def refusal(path: Path) -> tuple[Finding, ...]:
    """The findings a file is refused with."""
    from bendwright.drawing.step.read_step import read_step_here

    with pytest.raises(PartFileError) as caught:
        read_step_here(path, header=HEADER, body=None)
    return caught.value.findings


def said_properly(findings: tuple[Finding, ...]) -> bool:
    """An error among them, each with a whole sentence, a cure and no unfilled placeholder."""
    whole = all(one.sentence.endswith(".") and one.cure and "{" not in one.sentence + one.cure for one in findings)
    return whole and any(one.severity is Severity.ERROR for one in findings)


@pytest.mark.origin("practice", NO_SHEET)
@pytest.mark.parametrize("name", SHAPES)
def test_bodies_that_are_no_sheets(name: str, tmp_path: Path) -> None:
    assert said_properly(refusal(write_step(tmp_path / "part.step", moved(SHAPES[name](), anywhere(3)))))


@pytest.mark.origin("practice", NO_SHEET)
@pytest.mark.parametrize("name", [name for name in FILES if name not in NEVER_ENDING])
def test_files_that_are_no_models(name: str, tmp_path: Path) -> None:
    assert said_properly(refusal(FILES[name](tmp_path)))


@pytest.mark.origin("practice", NO_SHEET)
@pytest.mark.parametrize("name", ["zero_bytes", "letter", "cut_off", "circle_of_references", "no_numbers"])
def test_the_guarded_way_refuses_the_same(name: str, tmp_path: Path) -> None:
    from bendwright.drawing.step.read_step import read_step

    limits = ReadLimits(seconds=3.0) if name in NEVER_ENDING else ReadLimits()
    with pytest.raises(PartFileError) as caught:
        read_step(FILES[name](tmp_path), header=HEADER, body=None, limits=limits)
    assert said_properly(caught.value.findings)


@pytest.mark.origin("law", "a point light years away gives a part or a finding like any other fault of a file")
@pytest.mark.parametrize("number", [b"1.E160", b"1.E308"])
@pytest.mark.parametrize(
    ("user", "which"),
    [
        ("VERTEX_POINT", 3),
        ("LINE", 5),
        ("AXIS2_PLACEMENT_3D", -1),
        ("B_SPLINE_CURVE_WITH_KNOTS", 22),
        ("B_SPLINE_CURVE_WITH_KNOTS", 41),
    ],
)
def test_a_point_light_years_away(user: str, which: int, number: bytes, tmp_path: Path) -> None:
    from bendwright.drawing.step.read_step import read_step

    path = point_far_away(tmp_path, user, which, number)
    try:
        findings = read_step(path, header=HEADER, body=None, limits=ReadLimits(seconds=5.0)).findings
    except PartFileError as refused:
        findings = refused.findings
    for one in findings:
        assert one.sentence.endswith(".")
        assert "{" not in one.sentence + one.cure


@pytest.mark.origin("practice", "a file that is not there, a folder, a file nobody may read")
@pytest.mark.parametrize("what", ["missing", "folder"])
def test_nothing_to_read(what: str, tmp_path: Path) -> None:
    from bendwright.drawing.step.read_step import read_step

    path = tmp_path / "part.step"
    if what == "folder":
        path.mkdir()
    with pytest.raises(PartFileError) as caught:
        read_step(path, header=HEADER, body=None, limits=ReadLimits())
    assert said_properly(caught.value.findings)
    assert said_properly(refusal(path))


def spoken_of(path: Path) -> tuple[Finding, ...]:
    """The findings, whether the file was refused or read with a warning."""
    from bendwright.drawing.step.read_step import read_step_here

    try:
        reading: Reading = read_step_here(path, header=HEADER, body=None)
    except PartFileError as refused:
        return refused.findings
    return tuple(one for one in reading.findings if one.severity is not Severity.NOTE)


@pytest.mark.origin("practice", "legs that run through each other cannot be bent: the person must be told")
def test_a_part_folded_into_itself(tmp_path: Path) -> None:
    assert spoken_of(write_step(tmp_path / "part.step", folded_into_itself()))


@pytest.mark.origin("law", "what can be read without a word is not spoken of")
def test_a_plain_angle_needs_no_word(tmp_path: Path) -> None:
    solid = bend(profile([40, 30], [Bent(90, 2)], width_mm=60, thickness_mm=2)).solid
    assert spoken_of(write_step(tmp_path / "part.step", solid)) == ()
