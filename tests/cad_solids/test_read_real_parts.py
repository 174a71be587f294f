"""Files of public open-hardware designs, drawn by strangers with six CAD systems: read against what their index says of them.

They lie beside the project (``../shared/parts``), not in it; without them these tests are skipped. The index's numbers come
from another analyser and from the authors' drawings; where the two sides of a pair disagree, the index says so and it is
repeated here.
"""

from __future__ import annotations

import csv
import math
import re
from functools import cache
from pathlib import Path

import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from same_part import HEADER, blank_of

from bendwright.drawing.reading import Reading
from bendwright.findings import PartFileError

PARTS = Path(__file__).parents[3] / "shared" / "parts"
INDEX = PARTS / "index.csv"
ROWS = list(csv.DictReader(INDEX.read_text(encoding="utf-8").splitlines())) if INDEX.exists() else []
pytestmark = pytest.mark.skipif(not ROWS, reason="the collection of real parts lies beside the project, not in it")

LANCED = "SL1-104"
ASSEMBLY = "Cover_assembly"
AUTHORS_K = {"openamr": 0.47, "rover6": 0.44}
FLAT_SIZE_MM, AREA_SHARE = 0.05, 1e-3
COUNTERSINK_RINGS_MM2 = {"MMP.02.00.00.001_Base": 16 * math.pi * (5.25**2 - 4.6**2)}
"""What the author's flat takes away and a through hole does not: it shows the outer edge circle of its 16 countersinks too."""
ONE_BEND = {"joint-front-left-v01": [96.16], "SL1-110-MA_v000_FILTRATION_COVER": [90.0, 135.0]}
"""The index counts cylinder faces; in these files two of them lie beside each other on one axis with one radius (6.16 and 90,
45 and 90 degrees), no flat between: one bend of their sum."""


def rows(kind: str, column: str = "file") -> list[object]:
    """Rows of a kind that have a value in that column, by file name (one skipped row where the index is absent)."""
    found = [row for row in ROWS if kind in row["kind"] and row[column]]
    return [pytest.param(row, id=Path(row["file"]).stem) for row in found] or [pytest.param({}, id="no-index")]


@cache
def read(name: str) -> Reading:
    """Read one file of the collection."""
    from bendwright.drawing.step.read_step import read_step_here

    return read_step_here(PARTS / name, header=HEADER, body=None)


def numbers(text: str) -> list[float]:
    """Numbers of a column, sorted."""
    return sorted(float(word) for word in text.split())


def lines_turned(reading: Reading) -> list[float]:
    """Turned angles by bend line: the index counts bends of separate flanges on one line of the flat, turned alike, as one."""
    lines: list[tuple[float, float, float, float]] = []
    for line in blank_of(reading, 0.44).bend_lines:
        way = math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0])
        normal = (-math.sin(way), math.cos(way))
        off = normal[0] * line.start[0] + normal[1] * line.start[1]
        along = (normal[0], normal[1], off, line.turned_deg * (1.0 if line.direction == "up" else -1.0))
        if not any(
            max(abs(a - b) for a, b in zip(along, other, strict=True)) < 0.02
            or (
                max(abs(a + b) for a, b in zip(along[:3], other[:3], strict=True)) < 0.02
                and abs(along[3] - other[3]) < 0.02
            )
            for other in lines
        ):
            lines.append(along)
    return [abs(line[3]) for line in lines]


@pytest.mark.origin("derived", "index of the collection: another analyser's thickness, bends, angles, radii")
@pytest.mark.parametrize("row", rows("good"))
def test_good_parts(row: dict[str, str]) -> None:
    reading = read(row["file"])
    bends = reading.part.bends
    assert reading.part.header.thickness_mm == pytest.approx(float(row["t_mm"]), abs=1e-3)
    angles, radii = numbers(row["angles_deg"]), numbers(row["inner_radii_mm"])
    if LANCED in row["file"]:
        angles = [angle for angle in angles if angle > 45.0]  # the rest are bridges, see below
    angles = ONE_BEND.get(Path(row["file"]).stem, angles)
    turned = [bend.turned_deg for bend in bends]
    if "split by cut-outs" in row["remark"] and len(bends) > len(angles):
        turned = lines_turned(reading)
    assert sorted(turned) == pytest.approx(angles, abs=0.05)
    for bend in bends:
        assert min(abs(bend.drawn_radius_mm - radius) for radius in radii) < 0.01, bend
    if LANCED not in row["file"]:
        for radius in radii:
            assert min(abs(bend.drawn_radius_mm - radius) for bend in bends) < 0.01, radius


@pytest.mark.origin(
    "law", "read, unfolded and folded again a part has the volume of its model (holes sunk for screw heads apart)"
)
@pytest.mark.parametrize("row", rows("good"))
def test_good_parts_keep_their_volume(row: dict[str, str]) -> None:
    reading = read(row["file"])
    assert reading.model_volume_mm3
    assert reading.refolded_volume_mm3 == pytest.approx(reading.model_volume_mm3, rel=0.005)


@pytest.mark.origin(
    "printed", "the authors' own flat patterns (DXF beside the STEP), K 0.47 in their drawings, 0.44 in the other set"
)
@pytest.mark.parametrize("row", rows("good-pair"))
def test_the_authors_own_flats(row: dict[str, str]) -> None:
    right = re.search(r"author's flat ([\d.]+)x([\d.]+), flat area ([\d.]+)", row["remark"])
    assert right
    wide, high, net = (float(value) for value in right.groups())
    name = Path(row["file"]).stem
    blank = blank_of(read(row["file"]), AUTHORS_K[Path(row["file"]).parts[1]])
    assert sorted((blank.width_mm, blank.height_mm)) == pytest.approx(sorted((wide, high)), abs=FLAT_SIZE_MM)
    assert blank.area_mm2 == pytest.approx(net + COUNTERSINK_RINGS_MM2.get(name, 0.0), rel=AREA_SHARE)


@pytest.mark.origin("derived", "index of the collection: these files hold no one bent sheet")
@pytest.mark.parametrize("row", rows("negative"))
def test_what_is_no_bent_sheet_is_said(row: dict[str, str]) -> None:
    if "flat plate" in row["remark"] and "pockets" not in row["remark"]:
        assert read(row["file"]).part.bends == ()
        return
    with pytest.raises(PartFileError) as caught:
        read(row["file"])
    assert all(one.sentence and one.cure for one in caught.value.findings)


@pytest.mark.origin(
    "derived", "index: twelve bends of 45 degrees make bridges that are joined at both ends, no press-brake bends"
)
def test_lanced_bridges_are_told_apart() -> None:
    row = next(row for row in ROWS if LANCED in row["file"])
    reading = read(row["file"])
    assert len(reading.part.bends) == 3
    assert any(re.search(r"bridge|lance|formed|joined at both ends", str(one)) for one in reading.findings)


@pytest.mark.origin("derived", "index: an assembly of sheet parts and rivets, 53 bodies")
def test_an_assembly_lists_its_sheets() -> None:
    from bendwright.drawing.step.read_step import read_step_here

    row = next(row for row in ROWS if ASSEMBLY in row["file"])
    with pytest.raises(PartFileError) as caught:
        read(row["file"])
    said = " ".join(str(one) for one in caught.value.findings)
    offered = [int(word) for word in re.findall(r"\b\d+\b", said) if 1 <= int(word) <= 53]
    for number in offered:
        try:
            reading = read_step_here(PARTS / row["file"], header=HEADER, body=number)
        except PartFileError:
            continue
        if len(reading.part.bends) == int(row["n_bends"]):
            assert reading.part.header.thickness_mm == pytest.approx(float(row["t_mm"]), abs=1e-3)
            angles = sorted(bend.turned_deg for bend in reading.part.bends)
            assert angles == pytest.approx(numbers(row["angles_deg"]), abs=0.05)
            return
    pytest.fail(f"none of the bodies offered is the sheet described: {said}")


@pytest.mark.origin("derived", "index: sheets with pressed inserts as bodies of their own")
@pytest.mark.parametrize("row", rows("good"))
def test_other_bodies_are_listed(row: dict[str, str]) -> None:
    reading = read(row["file"])
    assert len(reading.bodies) in (int(row["solids"]), 0 if row["solids"] == "1" else -1)
    if int(row["solids"]) > 1:
        assert reading.findings
