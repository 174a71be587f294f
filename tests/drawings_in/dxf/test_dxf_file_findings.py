"""Findings about a DXF file, its units and its curves: each has a drawing that provokes it, and says its sentence."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import pytest
from drawn_files import angle_bracket, box, document
from dxf_told import Cases, added, findings, text_of
from ezdxf.document import Drawing

from bendwright.findings import catalogue

pytestmark = pytest.mark.origin("law", "the finding written beside each drawing")
CASES = Cases()
case = CASES.case


@case("D300", "The DXF file cannot be read: No such file or directory.")
def missing(folder: Path) -> Path:
    return folder / "nowhere.dxf"


@case("D300", "The DXF file cannot be read: Is a directory.")
def a_folder(folder: Path) -> Path:
    (folder / "folder.dxf").mkdir()
    (folder / "folder.dxf" / "x").write_bytes(b"x")
    return folder / "folder.dxf"


@case("D301", "The DXF file is empty; files that hold something, of at most 64 MB, are read.")
def empty(folder: Path) -> bytes:
    return b" \r\n"


@case("D301", "The DXF file is 65 MB; files that hold something, of at most 64 MB, are read.")
def huge(folder: Path) -> Path:
    path = folder / "huge.dxf"
    with path.open("wb") as stream:
        stream.truncate(65_000_000)
    return path


@case("D302", "This is no readable DXF file: it looks like a PDF document.")
def a_pdf(folder: Path) -> bytes:
    return b"%PDF-1.7\n..."


@case("D302", "This is no readable DXF file: it looks like a DWG drawing.")
def a_dwg(folder: Path) -> bytes:
    return b"AC1032\0\0\0\0"


@case("D302", "This is no readable DXF file: File 'flat.dxf' is not a DXF file.")
def other_text(folder: Path) -> bytes:
    return b"part_no: 1\nrevision: A\n"


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def blocks_in_blocks(folder: Path) -> Drawing:
    drawing = document()
    below = drawing.blocks.new("B0")
    below.add_circle((0, 0), 1)
    for n in range(1, 8):
        block = drawing.blocks.new(f"B{n}")
        for i in range(10):
            block.add_blockref(f"B{n - 1}", (i, n))
    drawing.modelspace().add_blockref("B7", (0, 0))
    return drawing


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def a_block_in_itself(folder: Path) -> Drawing:
    drawing = document()
    block = drawing.blocks.new("OWN")
    block.add_blockref("OWN", (1, 0))
    drawing.modelspace().add_blockref("OWN", (0, 0))
    return drawing


@case("D303", "The drawing's blocks open to more than 100000 entities, or lie in each other too deep.")
def endless_rows(folder: Path) -> Drawing:
    drawing = document()
    drawing.blocks.new("HOLE").add_circle((0, 0), 1)
    drawing.modelspace().add_blockref(
        "HOLE", (0, 0), dxfattribs={"row_count": 30000, "column_count": 30000, "row_spacing": 1, "column_spacing": 1}
    )
    return drawing


@case(
    "D304",
    "The file is damaged and was repaired (DXFStructureError: missing EOF tag); what it lost cannot be known.",
)
def repaired(folder: Path) -> bytes:
    data = text_of(angle_bracket(), folder)
    return data[: data.rindex(b"  0\nEOF")]


@case("D305", "The end of the file is missing: it was cut off, and part of the drawing may be gone.")
def cut_off(folder: Path) -> bytes:
    data = text_of(angle_bracket(), folder)
    return data[: data.rindex(b"  0\nEOF")]


@case("D306", "Not used, for they draw no contour: 1 x HATCH, 1 x SOLID.")
def other_entities(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_hatch()
    drawing.modelspace().add_solid([(0, 0), (1, 0), (1, 1)])
    return drawing


@case("D307", "Entities on paper layouts were not used (1); only the model space is read.")
def on_paper(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.layout("Layout1").add_line((0, 0), (1, 1))
    return drawing


@case("D308", "Curves on layers off or frozen, or invisible themselves, were not used: layer SPARE (1 curves).")
def hidden(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.layers.add("SPARE").off()
    drawing.modelspace().add_circle((70, 45), 3, dxfattribs={"layer": "SPARE"})
    return drawing


@case("D309", "Curves were taken as follows. bend: line type DASHED (1); outline: layer 0 (5).")
def taken(folder: Path) -> Drawing:
    return angle_bracket()


@case(
    "D310",
    "The header says inch (the flat would be 2540.00 x 1524.00 mm), but 1 of 1 round holes and corners would be about 203.2 mm "
    "across. It was read as mm: 100.00 x 60.00 mm.",
)
def wrong_header(folder: Path) -> Drawing:
    return angle_bracket(units=1)


@case("D311", "The header names no unit; it was read as mm: 100.00 x 60.00 mm.")
def silent_header(folder: Path) -> Drawing:
    return angle_bracket(units=0)


@case("D312", "Read as mm, as the header says, the flat is 7000.00 x 50.00 mm, but its longer side would be 7000 mm.")
def odd_size(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 7000, 50)
    return drawing


@case("D313", "Gaps of at most 0.05 mm were closed (1): 0.020 mm at (0.00, 0.01).")
def gap(folder: Path) -> Drawing:
    drawing = document()
    drawing.modelspace().add_lwpolyline([(0, 0), (50, 0), (50, 40), (0, 40), (0, 0.02)])
    return drawing


@case("D314", "Curves drawn twice were used once (1): (20.00, 15.00).")
def doubled(folder: Path) -> Drawing:
    return added((20, 15, 4))


@case("D315", "No contour is drawn in unbroken lines; broken ones were taken as outline.")
def all_broken(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 50, 40, linetype="DASHED")
    return drawing


@case("D316", "Curves branch off the contour (2) at (20.00, 0.00), (40.00, 0.00); the outermost way was taken.")
def branching(folder: Path) -> Drawing:
    drawing = document()
    box(drawing, 0, 0, 50, 40)
    drawing.modelspace().add_lwpolyline([(20, 0), (30, 20), (40, 0)])
    drawing.modelspace().add_line((30, 20), (30, 30))
    return drawing


@case("D317", "Open curves on the sheet were not used (1): (15.00, 10.00).")
def open_curve(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_line((10, 10), (20, 10))
    return drawing


@case(
    "D318",
    "Curves with numbers that no drawing can hold cannot be read (1); without them the part would be another.",
)
def wild_numbers(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_circle((1e9, 1e9), 3)
    return drawing


@case(
    "D318",
    "Curves with numbers that no drawing can hold cannot be read (1); without them the part would be another.",
)
def no_number(folder: Path) -> bytes:
    """A hole whose place is no number: a part without it would be wrong, so there is none."""
    drawing = angle_bracket()
    drawing.modelspace().add_circle((60.0, 987.5), 3)
    return text_of(drawing, folder).replace(b"987.5", b"nan", 1)


@case("D319", "Curves that do not lie in the drawing plane were read as seen from above (1).")
def tilted(folder: Path) -> Drawing:
    drawing = angle_bracket()
    drawing.modelspace().add_circle((60, 10), 3, dxfattribs={"extrusion": (0.3, 0, 1)})
    return drawing


@pytest.mark.parametrize("name", CASES)
def test_each_finding(name: str, tmp_path: Path) -> None:
    """Exactly one finding of that code, with this sentence."""
    told, expected = CASES.told(name, tmp_path)
    assert told == expected


def test_every_code_is_here() -> None:
    """Each D3xx of the catalogue stands in one of these files."""
    text = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_dxf_*_findings.py"))
    assert [code for code in catalogue() if code.startswith("D3") and code not in text] == []


def test_the_library_is_silent(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """What the library logs while it repairs stays off the terminal."""
    data = text_of(angle_bracket(), tmp_path).replace(b"\nLINE\n", b"\nLINE\n  5\nZZ\n", 1)
    findings(data, tmp_path, {})
    assert capfd.readouterr().err == ""
    assert ezdxf is not None
