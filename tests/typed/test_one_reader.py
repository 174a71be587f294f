"""What the reader of typed files does the same way for parts and shops, each in its own words."""

from __future__ import annotations

from pathlib import Path

import pytest

from bendwright.drawing.fields import a_tolerance
from bendwright.drawing.part_file import part_from_text
from bendwright.drawing.yaml_lines import PART
from bendwright.findings import BendwrightError, InputError, PartFileError, ShopFileError
from bendwright.shop.fields import a_table
from bendwright.shop.pages import SHOP, page_from_text, read_text
from bendwright.typed.gathering import Gathering
from bendwright.typed.readers import a_coordinate, a_flag, a_length, a_list, a_text, one_of, one_or_more
from bendwright.typed.record import Page, Reader, Record, Value, page
from bendwright.typed.tree import Keys, Rows, Word, parse

pytestmark = pytest.mark.origin("law", "what the reader promises in its own words")
CURE = "Mend the place named; indentation is by spaces, and text with a colon or a leading sign goes in quotes."
PANEL = """\
part_no: SM-9
revision: A
panel:
  base: {width: 100, depth: 80}
  flanges:
    - {edge: [front, back], leg: 30, direction: up}
"""


def said(error: BendwrightError) -> list[str]:
    """The findings as a person reads them."""
    return [str(finding) for finding in error.findings]


def field(text: str) -> Value:
    """The value of the field ``a`` of a shop file."""
    tree, _ = parse(f"a: {text}", "f.yaml", SHOP)
    assert isinstance(tree, Keys)
    return Value(tree.items["a"], Page("f.yaml", SHOP))


def a_hole(value: Value) -> Record:
    """A group of fields."""
    return Record(value, "hole")


def test_scalars_stay_as_typed() -> None:
    """Numbers, dates and yes or no reach their reader as text; only an unquoted null or nothing is blank."""
    text = "[1,5, 08, no, 12:30, 2026-11-25, ~, '~', '', ' x ', null]"
    node = field(text).node
    assert isinstance(node, Rows)
    words = [(item.text, item.blank) for item in node.items if isinstance(item, Word)]
    assert words == [
        *((word, False) for word in ("1", "5", "08", "no", "12:30", "2026-11-25")),
        *(("~", True), ("~", False), ("", True), ("x", False), ("null", True)),
    ]


def test_an_alias_is_read_where_it_stands() -> None:
    """In a shop file an alias gives the value of its anchor, at the path of the alias and the line of the anchor."""
    top = page_from_text("a: &piece {length: 10, ear: &ear [1, 2]}\nb: [*piece, *ear]\n", "f.yaml", "file")
    first, second = top.needed("b", a_list(lambda value: value))
    assert (first.where, second.where) == ("f.yaml:1 b[0]", "f.yaml:1 b[1]")
    assert Record(first).needed("length", a_length) == 10.0
    assert a_list(a_length)(second) == (1.0, 2.0)


def test_an_alias_of_nothing() -> None:
    """An alias without anchor is a fault of form."""
    with pytest.raises(ShopFileError) as caught:
        page_from_text("a: 1\nb: *nowhere\n", "f.yaml", "file")
    assert said(caught.value) == [f"S103 error [f.yaml:2]: This file cannot be read: found undefined alias. {CURE}"]


def test_a_second_document_in_a_shop_file() -> None:
    """One file, one document."""
    with pytest.raises(ShopFileError) as caught:
        page_from_text("a: 1\n---\nb: 2\n", "f.yaml", "file")
    assert said(caught.value) == [
        f"S103 error [f.yaml:2]: This file cannot be read: a second '---' line begins another document. {CURE}"
    ]


def test_a_list_as_key_of_a_shop_file() -> None:
    """A field has a name of one word."""
    with pytest.raises(ShopFileError) as caught:
        page_from_text("a: 1\n? [b, c]\n: 2\n", "f.yaml", "file")
    assert said(caught.value) == [
        "S108 error [f.yaml:2]: A field name is wanted here, but a list came. See docs/shop-files.md for the form of "
        "this field."
    ]


def test_control_characters_in_a_shop_file(tmp_path: Path) -> None:
    """What no keyboard types is no shop file."""
    path = tmp_path / "dies.yaml"
    path.write_bytes(b"a: 1\nb: \x07\n")
    with pytest.raises(ShopFileError) as caught:
        read_text(path)
    assert said(caught.value) == [
        "S104 error [dies.yaml]: This is no shop file: it holds the control character 0x07. A shop file is plain UTF-8 "
        "text, under 1 MB, of at most a few thousand values."
    ]


def test_a_key_twice_hides_nothing_else() -> None:
    """A key standing twice is complained of together with the other fields; the first one counts."""
    top = page_from_text("a: 1\na: 2\nb: x\nc: 3\n", "f.yaml", "file")
    assert top.needed("a", a_length) == 1.0
    top.needed("b", a_length)
    with pytest.raises(ShopFileError) as caught:
        top.done()
    assert [f"{item.code} {item.where}" for item in caught.value.findings] == [
        "S106 f.yaml:2 a",
        "Q102 f.yaml:3 b",
        "S105 f.yaml:4 c",
    ]


def test_a_decimal_comma_inside_braces_of_a_shop_file() -> None:
    """The number is split by YAML; the cure says so."""
    record = page_from_text("{length: 3,5}", "f.yaml", "piece")
    assert record.needed("length", a_length) == 3.0
    with pytest.raises(ShopFileError) as caught:
        record.done()
    assert said(caught.value) == [
        "S105 error [f.yaml:1 5]: This piece has no field '5'; it has: length. A decimal comma inside braces splits a "
        "number: write a point, or put quotes around it."
    ]


def test_the_unit_of_a_file_in_any_letters() -> None:
    """``Inch`` is inch: the word is taken like every other word, and bare lengths follow it."""
    shop = page_from_text("passport: {length_unit: Inch}\na: 2\n", "f.yaml", "file")
    assert shop.needed("a", a_length) == pytest.approx(50.8)
    part = part_from_text(PANEL.replace("revision: A", "revision: A\nunit: INCH"), "p.yaml")
    assert part.header.drawing_unit == "inch"
    assert part.flanges[0].outline[2] == pytest.approx((2540.0, 2032.0))


@pytest.mark.parametrize(
    ("text", "read", "finding"),
    [
        ("[1]", a_text, "A text is wanted here, but a list came."),
        ("{b: 1}", a_length, "One length is wanted here, but a group of fields came."),
        ("1", a_list(a_text), "A list is wanted here, but '1' came."),
        ("1", one_or_more(a_hole), "A list is wanted here, but '1' came."),
        ("[1]", one_or_more(a_hole), "A group of fields (hole) is wanted here, but '1' came."),
        ("1", a_table(a_length), "A group of fields is wanted here, but '1' came."),
        ("[~]", a_list(a_text), "A text is wanted here, but nothing came."),
        ("perhaps", a_flag, "'perhaps' is not one of the words allowed here: yes, no, true, false."),
        ("lef", one_of("left", "right"), "'lef' is not one of the words allowed here: left, right."),
    ],
)
def test_each_reader_says_what_it_wants(text: str, read: Reader[object], finding: str) -> None:
    """The readers of plain fields refuse what is of another kind."""
    with pytest.raises(ShopFileError) as caught:
        read(field(text))
    assert [item.sentence for item in caught.value.findings] == [finding]


def test_a_table_leaves_blanks_out() -> None:
    """Blank is unknown, in a table too."""
    assert a_table(a_coordinate)(field("{steel: -1, brass: ~, copper: ''}")) == {"steel": -1.0}


@pytest.mark.parametrize(
    ("text", "minus_mm", "plus_mm"),
    [("0.2", -0.2, 0.2), ("±0.2", -0.2, 0.2), ("+0/-0.5", -0.5, 0.0), ("0.3/ -0.1 mm", -0.1, 0.3), ("0", 0.0, 0.0)],
)
def test_tolerances_in_one_word(text: str, minus_mm: float, plus_mm: float) -> None:
    """Plus and minus alike, or each with its sign."""
    tolerance = a_tolerance(field(f'"{text}"'))
    assert (tolerance.minus_mm, tolerance.plus_mm) == (minus_mm, plus_mm)


def test_both_sides_of_a_tolerance_are_complained_of() -> None:
    """Neither side hides the other."""
    with pytest.raises(InputError) as caught:
        a_tolerance(field("+x/-y"))
    assert [item.code for item in caught.value.findings] == ["Q102", "Q102"]


def test_findings_without_a_place_get_that_of_their_field() -> None:
    """Whoever refuses a word need not know where it stood; who does know keeps its own place."""

    def refuse(value: Value) -> str:
        raise InputError(PART.finding("empty", name=""))

    record = page("part_no: x\n", "p.yaml", PART)
    record.optional("part_no", refuse)
    assert [finding.where for finding in record.findings] == ["p.yaml:1 part_no"]
    gathering = Gathering()
    assert gathering.tried(lambda: a_length(field("x")), lambda: "elsewhere") is None
    assert [finding.where for finding in gathering.findings] == ["f.yaml:1 a"]


def test_what_two_edges_share_is_complained_of_once() -> None:
    """A flange typed for two edges is one place to mend."""
    with pytest.raises(PartFileError) as caught:
        part_from_text(PANEL.replace("leg: 30", "leg: 30, flanges: [{edge: far, direction: up}]"), "p.yaml")
    assert said(caught.value) == [
        "P110 error [p.yaml:6 panel.flanges[1].flanges[1].leg]: The field 'panel.flanges[1].flanges[1].leg' is missing, "
        "and a part cannot do without it. Type it."
    ]


@pytest.mark.parametrize(
    ("old", "new", "finding"),
    [
        (
            "edge: [front, back]",
            "edge: []",
            "P130 [p.yaml:6 panel.flanges[1]]",
        ),
        (
            "edge: [front, back]",
            "edge: [front, [back]]",
            "P111 [p.yaml:6 panel.flanges[1].edge[2]]",
        ),
        (
            "depth: 80}",
            'depth: 80, holes: {diameter: 6, from_left: 9, from_front: ""}}',
            "P114 [p.yaml:4 panel.base.holes]",
        ),
    ],
)
def test_nothing_typed_is_lost_in_silence(old: str, new: str, finding: str) -> None:
    """A flange without an edge, an edge that is no word, a hole with a blank place: each is said, none left out."""
    with pytest.raises(PartFileError) as caught:
        part_from_text(PANEL.replace(old, new), "p.yaml")
    assert [f"{item.code} [{item.where}]" for item in caught.value.findings] == [finding]
