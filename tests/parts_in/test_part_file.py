"""Part files: the examples, the schema, units, defaults, blank fields, reading speed."""

from __future__ import annotations

import json
import re
from importlib import resources
from pathlib import Path

import jsonschema
import pytest
import yaml

from bendwright.drawing.part_file import part_from_text, read_part
from bendwright.drawing.yaml_lines import parse
from bendwright.part.bend_size import fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.model import Circle, Cutout, Part, Slot, Tolerance

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples" / "parts").glob("*.yaml"))
MEASURED = sorted((Path(__file__).parent / "measured").glob("*.yaml"))

PROFILE = """\
part_no: T-1
revision: A
profile:
  length: 100
  legs: [40, 60]
  bends: {direction: up}
"""


def example(name: str) -> Part:
    """One of the shipped example parts."""
    return read_part(ROOT / "examples" / "parts" / f"{name}.yaml")


def schema() -> dict[str, object]:
    """The shipped JSON Schema of part files."""
    text = (resources.files("bendwright") / "drawing" / "data" / "part.schema.json").read_text(encoding="utf-8")
    loaded: dict[str, object] = json.loads(text)
    return loaded


@pytest.mark.origin("law", "every shipped part file is readable, of its form, and lies flat without overlap")
@pytest.mark.parametrize("path", [*EXAMPLES, *MEASURED], ids=lambda path: path.stem)
def test_examples_are_sound(path: Path) -> None:
    jsonschema.validate(yaml.safe_load(path.read_text(encoding="utf-8")), schema())
    part = read_part(path)
    thickness_mm = part.header.thickness_mm
    assert thickness_mm is not None
    sizes = {
        bend.id: fixed_size(
            bend, inside_radius_mm=0.0 if bend.kind == "hem_closed" else 1.0, k_factor=0.4, thickness_mm=thickness_mm
        )
        for bend in part.bends
    }
    blank = make_blank(part, sizes, thickness_mm=thickness_mm)
    assert blank.overlap_mm2 == 0.0
    assert len(blank.bend_lines) == len(part.bends)


@pytest.mark.origin("law", "what the manual shows can be read")
def test_parts_shown_in_the_manual_are_sound() -> None:
    manual = (ROOT / "docs" / "part-files.md").read_text(encoding="utf-8")
    shown = re.findall(r"```yaml\n(.*?)```", manual, re.DOTALL)
    assert len(shown) == 2
    for text in shown:
        jsonschema.validate(yaml.safe_load(text), schema())
        assert part_from_text(text, "part-files.md").bends


@pytest.mark.origin("law", "the schema itself is sound, and refuses what the reader refuses by form")
@pytest.mark.parametrize(
    "change",
    [
        {"profil": {}},
        {"panel": {"base": {"width": 10, "depth": 10}}},
        {"unit": "feet"},
        {"profile": {"length": 100, "legs": [40, 60], "bends": {"direction": "up", "turned": 80, "included": 100}}},
        {"profile": {"length": 100, "legs": [40, {"leg": 60, "hem": {"kind": "closed"}}]}},
    ],
)
def test_schema_refuses(change: dict[str, object]) -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    good = yaml.safe_load(PROFILE)
    jsonschema.validate(good, schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**good, **change}, schema())


@pytest.mark.origin(
    "derived",
    "sum of outside lengths - number of bends x BD, BD = 2 (R + t) - pi/2 (R + 0.42 t), R and t as listed",
)
@pytest.mark.parametrize(
    ("name", "radius", "thickness", "width", "height"),
    [
        ("mast_clamp", 2.56, 1.9, 101.6, 101.13),
        ("station_tray", 1.8, 1.5, 284.43, 224.43),
        ("cable_tray", 1.92, 1.5, 2000.0, 154.33),
        ("cabinet_door", 1.92, 1.5, 1862.66, 662.66),
        ("stair_tread", 5.12, 4.0, 900.0, 324.88),
        ("thick_bracket", 16.0, 10.0, 300.0, 179.73),
        ("instrument_rail", 2.56, 2.0, 1200.0, 174.88),
    ],
)
def test_blanks_of_the_examples(name: str, radius: float, thickness: float, width: float, height: float) -> None:
    part = example(name)
    sizes = {
        bend.id: fixed_size(bend, inside_radius_mm=radius, k_factor=0.42, thickness_mm=thickness) for bend in part.bends
    }
    blank = make_blank(part, sizes, thickness_mm=thickness)
    assert (blank.width_mm, blank.height_mm) == pytest.approx((width, height), abs=0.01)


@pytest.mark.origin("derived", "1 in = 25.4 mm: legs 2.500 and 1.625 in, 4.000 in long; the hole was typed in mm")
def test_inch_drawing_with_a_metric_hole() -> None:
    part = example("mast_clamp")
    assert part.header.drawing_unit == "inch"
    assert part.flange("leg1").outline[2] == pytest.approx((101.6, 63.5))
    assert part.flange("leg2").outline[2] == pytest.approx((101.6, 41.275))
    assert part.flange("leg2").features == (Circle(centre=(50.8, 12.0), diameter_mm=9.0, name="bolt"),)


@pytest.mark.origin("memory", "14 gauge steel sheet is 0.0747 in = 1.897 mm (Manufacturers' Standard Gauge)")
def test_gauge_number_goes_by_the_material() -> None:
    assert example("mast_clamp").header.thickness_mm == pytest.approx(1.897)
    text = PROFILE.replace("revision: A", "revision: A\nthickness: 14 ga")
    assert part_from_text(text, "p.yaml", gauge=lambda number: number / 10).header.thickness_mm == pytest.approx(1.4)


@pytest.mark.origin("law", "what is not typed stays unknown")
def test_blank_fields_are_unknown() -> None:
    for text in (PROFILE, PROFILE + "thickness:\nmaterial: ''\nquantity: ~\ngrain:\nnotes:\n"):
        header = part_from_text(text, "p.yaml").header
        assert header.thickness_mm is None
        assert header.quantity is None
        assert (header.grain, header.visible_side, header.material, header.notes) == ("unknown", "unknown", "", ())


@pytest.mark.origin("law", "part numbers are text: nothing is guessed from their look")
@pytest.mark.parametrize("typed", ["0012", "1e5", "12:30", "no", "2026-11-25", '"x: y"'])
def test_part_numbers_stay_as_typed(typed: str) -> None:
    part = part_from_text(PROFILE.replace("T-1", typed), "p.yaml")
    assert part.header.part_no == typed.strip('"')


@pytest.mark.origin("law", "included + turned = 180; 90 when neither is typed")
@pytest.mark.parametrize(
    ("typed", "turned"),
    [
        ("", 90.0),
        (", turned: 30", 30.0),
        (", included: 150", 30.0),
        (", included: 149d30'", 30.5),
        (", turned: 45°", 45.0),
    ],
)
def test_angles(typed: str, turned: float) -> None:
    part = part_from_text(PROFILE.replace("up}", f"up{typed}}}"), "p.yaml")
    assert part.bends[0].turned_deg == pytest.approx(turned)


@pytest.mark.origin("law", "each notation of a tolerance says the same")
@pytest.mark.parametrize(
    ("typed", "minus", "plus"),
    [
        ("0.2", -0.2, 0.2),
        ("±0.2", -0.2, 0.2),
        ("+0/-0.5", -0.5, 0.0),
        ("+0,3 / -0,1", -0.1, 0.3),
        ("{plus: 0.3, minus: -0.1}", -0.1, 0.3),
        ("+0.01 in/-0", 0.0, 0.254),
    ],
)
def test_tolerances(typed: str, minus: float, plus: float) -> None:
    text = PROFILE.replace("[40, 60]", f"\n    - leg: 40\n      tolerance: {typed}\n      fit: yes\n    - 60")
    flange = part_from_text(text, "p.yaml").flange("leg1")
    assert flange.fit
    assert flange.tolerance == Tolerance(minus_mm=pytest.approx(minus), plus_mm=pytest.approx(plus))


@pytest.mark.origin("law", "decimal comma and point read alike")
def test_decimal_comma() -> None:
    comma = part_from_text(PROFILE.replace("100", "100,5").replace("[40, 60]", '["40,25", 60]'), "p.yaml")
    point = part_from_text(PROFILE.replace("100", "100.5").replace("[40, 60]", "[40.25, 60]"), "p.yaml")
    assert comma == point


PANEL = """\
part_no: T-2
revision: A
thickness: 1
panel:
  base:
    width: 100
    depth: 80
    hem: {edge: front, kind: open, length: 8, gap: 1, direction: down, left: 2}
    notches: {edge: right, corner: left, width: 5, depth: 4}
  flanges:
    - edge: [left, right]
      name: cheek
      leg: 30
      direction: up
      left: 10
      right: 10
      relief: {width: 2, depth: 4, shape: round}
      holes: {diameter: 5, from_right: 10, from_far: 12}
      slots: {length: 9, width: 4, axis: 90, at: [[20, 15], [30, 15]]}
      cutouts: {width: 6, height: 4, from_left: 40, from_bend: 15}
      flanges:
        - {edge: far, leg: 12, included: 120, direction: down, taper_left: 1, taper_right: 2}
        - {edge: right, leg: 9, direction: up, width: 10}
    - edge: back
      direction: up
      points: [[0, 0], [100, 0], [60, 25]]
      cutouts: {points: [[50, 8], [60, 8], [55, 12]]}
"""


@pytest.mark.origin("derived", "every key of a panel once; places counted by hand in each flange's own frame")
def test_all_keys_of_a_panel() -> None:
    part = part_from_text(PANEL, "p.yaml")
    assert [(bend.id, bend.parent, bend.child) for bend in part.bends] == [
        ("b1", "base", "cheek.left"),
        ("b2", "base", "cheek.right"),
        ("b3", "base", "back"),
        ("h1", "base", "front.hem"),
        ("b4", "cheek.left", "cheek.left.far"),
        ("b5", "cheek.left", "cheek.left.right"),
        ("b6", "cheek.right", "cheek.right.far"),
        ("b7", "cheek.right", "cheek.right.right"),
    ]
    cheek = part.flange("cheek.left")
    hole, first, second, window = cheek.features
    assert hole == Circle(centre=(50.0, 18.0), diameter_mm=5.0)
    assert first == Slot(centre=(20.0, 15.0), length_mm=9.0, width_mm=4.0, axis_deg=90.0)
    assert isinstance(second, Slot)
    assert second.centre == (30.0, 15.0)
    assert isinstance(window, Cutout)
    assert window.points[0] == (37.0, 13.0)
    assert part.bend("b4").turned_deg == 60.0
    assert part.flange("cheek.left.far").outline == ((0.0, 0.0), (60.0, 0.0), (58.0, 12.0), (1.0, 12.0))
    assert part.flange("cheek.left.right").outline[1] == (10.0, 0.0)
    hem = part.bend("h1")
    assert (hem.kind, hem.hem_gap_mm, hem.direction, hem.start, hem.end) == (
        "hem_open", 1.0, "down", (0.0, 0.0), (98.0, 0.0)
    )  # fmt: skip
    assert part.flange("back").features[0] == Cutout(points=((50.0, 8.0), (60.0, 8.0), (55.0, 12.0)))


@pytest.mark.origin("law", "the tree keeps lines and text as typed")
def test_tree_of_lines() -> None:
    tree, twice = parse("a: 1\nb:\n  - x\n  - {c: '~', d: ~}\n", "t")
    assert not twice
    assert tree is not None
    assert tree.lines == {"a": 1, "b": 2}  # type: ignore[union-attr]
    text, blank = tree.items["b"].items[1].items.values()  # type: ignore[union-attr, index]
    assert (text.text, text.blank, text.line) == ("~", False, 4)  # type: ignore[union-attr]
    assert blank.blank  # type: ignore[union-attr]


@pytest.mark.origin("law", "a file written with a byte order mark or Windows line ends reads the same")
def test_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "part.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + PROFILE.replace("\n", "\r\n").encode())
    assert read_part(path) == part_from_text(PROFILE, "p.yaml")
