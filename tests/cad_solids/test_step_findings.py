"""Every finding about solid models, provoked by a body or a file that deserves it, and what it says."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from known_edges import broken_on_both_faces, chamfered_round_an_end
from known_parts import CATALOGUE
from not_sheets import FILES, SHAPES, bolt, folded_into_itself
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Shape
from step_files import moved, write_step

from bendwright.drawing import isolated
from bendwright.drawing.reading import Reading, ReadLimits
from bendwright.drawing.step import read_step as reader
from bendwright.findings import Finding, PartFileError
from bendwright.part.model import Header

HEADER = Header(part_no="SM-200", revision="A")
WHY = pytest.mark.origin("practice", "what such a file is, and what a person must be told of it")


def read(path: Path, body: int | None = None) -> Reading:
    """The file read in this process."""
    return reader.read_step_here(path, header=HEADER, body=body)


def refused(act: Callable[[], object]) -> Finding:
    """The first finding an act is refused with."""
    with pytest.raises(PartFileError) as caught:
        act()
    return caught.value.findings[0]


def block(x: float, y: float, z: float, dx: float, dy: float, dz: float) -> TopoDS_Shape:
    """A box with its corner at (x, y, z)."""
    return BRepPrimAPI_MakeBox(gp_Pnt(x, y, z), dx, dy, dz).Shape()


def rod(x: float, y: float, z: float, radius: float, height: float) -> TopoDS_Shape:
    """An upright cylinder."""
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, y, z), gp_Dir(0, 0, 1)), radius, height).Shape()


def less(body: TopoDS_Shape, tool: TopoDS_Shape) -> TopoDS_Shape:
    return BRepAlgoAPI_Cut(body, tool).Shape()


def more(body: TopoDS_Shape, other: TopoDS_Shape) -> TopoDS_Shape:
    return BRepAlgoAPI_Fuse(body, other).Shape()


@WHY
@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("zero_bytes", "D201", "the file is empty"),
        ("letter", "D201", "does not begin with ISO-10303-21"),
        ("no_entities", "D207", "without any geometry"),
    ],
)
def test_files(name: str, code: str, words: str, tmp_path: Path) -> None:
    said = refused(lambda: read(FILES[name](tmp_path)))
    assert said.code == code
    assert words in said.sentence


@WHY
@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("closed_tube", "D221", "closes on itself over 4 flats"),
        ("round_tube", "D234", "round all over"),
        ("cube", "D235", "bar or block"),
        ("torus", "D219", "its faces are 1 torus"),
        ("block_60_40_30", "D220", "back to back"),
        ("surfaces_only", "D206", "open shell"),
        ("angle_of_two_thicknesses", "D222", "neither side of the sheet, bend nor cut edge"),
    ],
)
def test_bodies(name: str, code: str, words: str, tmp_path: Path) -> None:
    said = refused(lambda: read(write_step(tmp_path / "part.step", SHAPES[name]())))
    assert said.code == code
    assert words in said.sentence


@WHY
def test_a_lump_on_a_sheet(tmp_path: Path) -> None:
    """Two lumps on one face leave the surface nearly right and the volume wrong by 8.5 %."""
    plate = block(0, 0, 0, 100, 60, 3)
    for x in (25.0, 75.0):
        plate = more(plate, block(x - 8, 20, 3, 16, 16, 3.0))
    said = refused(lambda: read(write_step(tmp_path / "part.step", plate)))
    assert said.code == "D223"
    assert "the model has 19536.0" in said.sentence


@WHY
def test_which_body(tmp_path: Path) -> None:
    """Two sheets ask which; a number picks; a wrong number is refused; tubes alone are told apart from sheets."""
    far = np.eye(4)
    far[0, 3] = 400.0
    sheets = [CATALOGUE["hat"]().solid, moved(CATALOGUE["angle"]().solid, far)]
    path = write_step(tmp_path / "two.step", *sheets, bolt(-50, 0, 0))
    said = refused(lambda: read(path))
    assert said.code == "D208"
    assert "2 sheet bodies" in said.sentence
    picked = read(path, body=2)
    assert len(picked.part.bends) == 1
    assert [finding.code for finding in picked.findings] == ["D211"]
    assert refused(lambda: read(path, body=9)).code == "D210"
    tubes = write_step(tmp_path / "tubes.step", SHAPES["closed_tube"](), moved(SHAPES["closed_tube"](), far))
    with pytest.raises(PartFileError) as caught:
        read(tubes)
    assert [finding.code for finding in caught.value.findings] == ["D209", "D221"]


def noted(shape: TopoDS_Shape, tmp_path: Path) -> dict[str, str]:
    """Codes and sentences of the findings a readable body comes with."""
    return {f.code: f.sentence for f in read(write_step(tmp_path / "part.step", shape)).findings}


@WHY
def test_a_collar_is_no_part_of_the_sheet(tmp_path: Path) -> None:
    plate = more(block(0, 0, 0, 100, 60, 2), rod(50, 30, 0, 6, 5))
    said = noted(less(plate, rod(50, 30, -1, 4, 10)), tmp_path)
    assert "1 holes have something joined on (collar dia 12.00)" in said["D232"]


@WHY
def test_widened_holes(tmp_path: Path) -> None:
    plate = less(less(block(0, 0, 0, 100, 60, 4), rod(50, 30, -1, 3, 10)), rod(50, 30, 2.5, 6, 10))
    reading = read(write_step(tmp_path / "part.step", plate))
    assert [f.diameter_mm for flange in reading.part.flanges for f in flange.features] == [pytest.approx(6.0)]
    said = {f.code: f.sentence for f in reading.findings}
    assert "1 holes are widened (counterbore dia 12.00)" in said["D225"]
    assert "D231" in said


@WHY
def test_a_pocket_that_goes_not_through(tmp_path: Path) -> None:
    said = noted(less(block(0, 0, 0, 100, 60, 4), block(40, 20, 3, 20, 20, 5)), tmp_path)
    assert "At 1 places the sheet is thinner or thicker on one side only" in said["D227"]


@WHY
def test_edges_not_square(tmp_path: Path) -> None:
    said = noted(CATALOGUE["chamfered_edges"]().solid, tmp_path)
    assert "not cut square" in said["D226"]


@WHY
def test_a_hole_drilled_through_a_bend(tmp_path: Path) -> None:
    said = noted(CATALOGUE["drilled_into_the_bend"]().solid, tmp_path)
    assert "between inside and outside" in said["D228"]


@WHY
def test_bends_drawn_sharp(tmp_path: Path) -> None:
    said = noted(CATALOGUE["sharp_both"]().solid, tmp_path)
    assert "2 bends are drawn sharp inside" in said["D230"]


@WHY
def test_a_small_difference_of_volume_is_told(tmp_path: Path) -> None:
    """A chip broken off one face only: 0.2 % of the volume."""
    plate = less(block(0, 0, 0, 100, 60, 4), block(-1, -1, 3.5, 102, 2, 5))
    assert "the model has 23950.0" in noted(plate, tmp_path)["D229"]


@WHY
def test_a_lanced_bridge(tmp_path: Path) -> None:
    """A strip of the sheet pressed up between two slits, joined at both ends by two bends each."""
    said = noted(lanced(), tmp_path)
    assert "1 formed bridges" in said["D224"]
    assert "4 bends" in said["D224"]


def lanced() -> TopoDS_Shape:
    """A plate of 1 mm with one bridge 8 wide lifted by 3, bends of 45 degrees and radius 1."""
    from math import cos, pi, sin, tan

    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Vec

    rise, inside, outside, angle = 3.0, 1.0, 2.0, pi / 4
    slope = (rise - 3.0 * (1.0 - cos(angle))) / tan(angle)
    run = 2.0 * 1.5 * sin(angle) + slope

    def half(y0: float, upper: bool) -> list[tuple[str, tuple[float, float], tuple[float, float], tuple[float, float]]]:
        first, second = (inside, outside) if upper else (outside, inside)
        x, y = 30.0, y0
        c = (x, y + first)
        p1 = (c[0] + first * sin(angle), c[1] - first * cos(angle))
        m1 = (c[0] + first * sin(angle / 2), c[1] - first * cos(angle / 2))
        end = (30.0 + run + 0.0, y0 + rise)
        c2 = (end[0], end[1] - second)
        p2 = (c2[0] - second * sin(angle), c2[1] + second * cos(angle))
        m2 = (c2[0] - second * sin(angle / 2), c2[1] + second * cos(angle / 2))
        return [("arc", (x, y), m1, p1), ("line", p1, p1, p2), ("arc", p2, m2, end)]

    def chain(
        y0: float, upper: bool
    ) -> list[tuple[str, tuple[float, float], tuple[float, float], tuple[float, float]]]:
        left = half(y0, upper)

        def other(point: tuple[float, float]) -> tuple[float, float]:
            return (100.0 - point[0], point[1])

        right = [(kind, other(b), other(m), other(a)) for kind, a, m, b in reversed(left)]
        return [*left, ("line", left[-1][3], left[-1][3], right[0][1]), *right]

    def edge(kind: str, a: tuple[float, float], m: tuple[float, float], b: tuple[float, float]) -> object:
        p, q, r = (gp_Pnt(x, 0.0, z) for x, z in (a, m, b))
        made = (
            BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(p, q, r).Value())
            if kind == "arc"
            else BRepBuilderAPI_MakeEdge(p, r)
        )
        return made.Edge()

    top, bottom = chain(1.0, True), chain(0.0, False)
    back = [(kind, b, m, a) for kind, a, m, b in reversed(bottom)]
    ends = [("line", top[-1][3], top[-1][3], back[0][1]), ("line", back[-1][3], back[-1][3], top[0][1])]
    wire = BRepBuilderAPI_MakeWire()
    for item in [*top, ends[0], *back, ends[1]]:
        wire.Add(edge(*item))
    strip = BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wire.Wire()).Face(), gp_Vec(0, 8, 0)).Shape()
    plate = less(block(0, -30, 0, 100, 68, 1), block(30, 0, -1, 40, 8, 3))
    return more(plate, strip)


@WHY
def test_a_missing_end_mark(tmp_path: Path) -> None:
    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    path.write_bytes(path.read_bytes().replace(b"END-ISO-10303-21;", b""))
    try:
        codes = [finding.code for finding in read(path).findings]
    except PartFileError as error:
        codes = [finding.code for finding in error.findings]
    assert codes in (["D233"], ["D201"])


@WHY
def test_without_the_kernel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    monkeypatch.setattr(reader, "read_isolated", lambda *_: {"refused": ["D202", "No module named 'OCP'"]})
    said = refused(lambda: reader.read_step(path, header=HEADER))
    assert said.code == "D202"
    assert "bendwright[step]" in said.cure


@WHY
def test_limits(tmp_path: Path) -> None:
    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    slow = refused(lambda: reader.read_step(path, header=HEADER, limits=ReadLimits(seconds=0.05)))
    assert (slow.code, "0.05 s" in slow.sentence) == ("D203", True)
    small = refused(lambda: reader.read_step(path, header=HEADER, limits=ReadLimits(memory_mb=120)))
    assert (small.code, "120 MB" in small.sentence) == ("D204", True)


@WHY
def test_a_reading_process_that_dies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stand-in for Python that kills itself as the kernel would."""
    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    stand_in = tmp_path / "dies"
    stand_in.write_text("#!/bin/sh\nkill -SEGV $$\n", encoding="utf-8")
    stand_in.chmod(0o755)
    monkeypatch.setattr(isolated.sys, "executable", str(stand_in))
    said = refused(lambda: reader.read_step(path, header=HEADER))
    assert said.code == "D205"
    assert "SIGSEGV" in said.sentence
    assert sys.platform != "win32"


@WHY
def test_a_part_folded_into_itself(tmp_path: Path) -> None:
    assert "into each other" in noted(folded_into_itself(), tmp_path)["D237"]


@WHY
def test_points_that_are_nowhere(tmp_path: Path) -> None:
    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    text = path.read_text(encoding="latin-1")
    at = text.index("CARTESIAN_POINT('',(") + len("CARTESIAN_POINT('',(")
    path.write_text(text[:at] + "1.E12" + text[text.index(",", at) :], encoding="latin-1")
    said = refused(lambda: read(path))
    assert said.code in ("D236", "D201", "D206", "D220")


@WHY
def test_a_body_that_contradicts_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever fails on such numbers is told, and no other body is lost by it."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError("division by zero")

    path = write_step(tmp_path / "part.step", CATALOGUE["angle"]().solid)
    monkeypatch.setattr(reader, "read_sheet", fail)
    said = refused(lambda: read(path))
    assert said.code == "D238"
    assert "ZeroDivisionError: division by zero" in said.sentence


@WHY
@pytest.mark.parametrize("name", ["chamfered", "rounded", "round an end"])
def test_edges_broken_on_both_faces_are_refused(name: str, tmp_path: Path) -> None:
    """Read by its faces alone the sheet would come out too small: the volumes tell, and nothing wrong is cut."""
    made = chamfered_round_an_end() if name == "round an end" else broken_on_both_faces(round_=name == "rounded")
    solid = made.solid
    assert refused(lambda: read(write_step(tmp_path / "part.step", solid))).code == "D223"
