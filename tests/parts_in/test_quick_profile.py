"""Profiles typed in one line."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bendwright.drawing.part_file import read_part
from bendwright.drawing.quick_profile import quick_profile
from bendwright.findings import PartFileError
from bendwright.part.model import Header, Part

ROOT = Path(__file__).parents[2]
HEADER = Header(part_no="SM-1207", revision="B", thickness_mm=2.0)


def legs(part: Part) -> list[float]:
    """Outside lengths in the order typed."""
    lengths = {flange.id: flange.outline[2][1] for flange in part.flanges if "hem" not in flange.id}
    return [lengths[f"leg{index + 1}"] for index in range(len(lengths))]


def bends(part: Part) -> list[tuple[str, float]]:
    """Direction and turned angle in the order typed."""
    by_id = {bend.id: bend for bend in part.bends if bend.id.startswith("b")}
    return [(by_id[f"b{i + 1}"].direction, by_id[f"b{i + 1}"].turned_deg) for i in range(len(by_id))]


@pytest.mark.origin("law", "the line and the part file describe the same part")
def test_line_equals_file() -> None:
    part = read_part(ROOT / "examples" / "parts" / "instrument_rail.yaml")
    assert quick_profile("15 u90 40 u90 80 u90 40 u90 15 x 1200", header=part.header) == part


LINES = [
    ("40 u 60 x 100", [40.0, 60.0], [("up", 90.0)]),
    ("40 d45 60 x 100", [40.0, 60.0], [("down", 45.0)]),
    ("40 ui120 60 di91,5 40 x 100", [40.0, 60.0, 40.0], [("up", 60.0), ("down", 88.5)]),
    ("2.5in u 1-5/8in x 4in", [63.5, 41.275], [("up", 90.0)]),
    ('2 1/2 in u 1 5/8" x 4 in', [63.5, 41.275], [("up", 90.0)]),
    ("38/i U90 56/I u90 40/o x 100", [40.0, 60.0, 40.0], [("up", 90.0), ("up", 90.0)]),
    ("30 u 58/top d 30 x 100", [30.0, 60.0, 30.0], [("up", 90.0), ("down", 90.0)]),
    ("30 d 58/bottom u 30 x 100", [30.0, 60.0, 30.0], [("down", 90.0), ("up", 90.0)]),
    ("250 X 100", [250.0], []),
]


@pytest.mark.origin("derived", "1 in = 25.4 mm, included = 180 - turned, inside + 2 mm sheet at each 90 degree end")
@pytest.mark.parametrize(("line", "lengths", "turns"), LINES)
def test_lines(line: str, lengths: list[float], turns: list[tuple[str, float]]) -> None:
    part = quick_profile(line, header=HEADER)
    assert legs(part) == pytest.approx(lengths)
    assert bends(part) == [(direction, pytest.approx(turned)) for direction, turned in turns]


@pytest.mark.origin("derived", "bare numbers are inches when the drawing is")
def test_default_unit() -> None:
    assert legs(quick_profile("2.5 u 40mm x 4", header=HEADER, default_unit="inch")) == pytest.approx([63.5, 40.0])


@pytest.mark.origin("law", "hems close the free ends of the first and last leg")
def test_hems() -> None:
    part = quick_profile("hu12 75 u 200 u 75 hd10 x 440", header=HEADER)
    assert [(bend.id, bend.parent, bend.direction, bend.kind) for bend in part.bends if bend.id[0] == "h"] == [
        ("h1", "leg1", "up", "hem_closed"),
        ("h2", "leg3", "down", "hem_closed"),
    ]


@pytest.mark.origin("law", "round trip: what is written in a line is read from it")
@given(
    st.lists(st.tuples(st.integers(100, 9000), st.sampled_from("ud"), st.integers(1, 90)), min_size=1, max_size=8),
    st.integers(100, 9000),
)
@settings(max_examples=50, deadline=None)
def test_round_trip(steps: list[tuple[int, str, int]], last: int) -> None:
    line = " ".join(f"{size / 100:.2f} {side}{turned}" for size, side, turned in steps)
    part = quick_profile(f"{line} {last / 100:.2f} x 500", header=HEADER)
    assert legs(part) == pytest.approx([*(size / 100 for size, _, _ in steps), last / 100])
    assert bends(part) == [("up" if side == "u" else "down", float(turned)) for _, side, turned in steps]


@pytest.mark.origin("law", "whatever is typed, the answer is a part or findings")
@given(st.text(alphabet='0159/.,-udihxtop "mn', max_size=40))
@settings(max_examples=150, deadline=None)
def test_never_anything_but_findings(line: str) -> None:
    with suppress(PartFileError):
        assert quick_profile(line, header=HEADER).flanges
