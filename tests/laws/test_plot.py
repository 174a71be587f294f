"""Laws of the plots: proper XML, everything inside the frame, told apart without colour, the same bytes every time."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.sheets.plot import HEIGHT_MM, PENS, WIDTH_MM, Plot, Series, axes_of, draw_plot, mark
from bendwright.validation.pages import pages

NUMBER = st.floats(-1e6, 1e6, allow_nan=False).map(lambda value: round(value, 3))
POINTS = st.lists(st.tuples(NUMBER, NUMBER), min_size=1, max_size=8).map(tuple)
SERIES = st.builds(Series, name=st.text("abc &<>", min_size=1, max_size=20), points=POINTS, marked=st.booleans())
PLOTS = st.builds(
    Plot,
    title=st.just("a < b & c"),
    x_name=st.just("x"),
    y_name=st.just("y"),
    series=st.lists(SERIES, min_size=1, max_size=6).map(tuple),
)


def corners(svg):
    """Every point of every shape and text of a picture, without the clip path."""
    found = []
    for node in ET.fromstring(svg).iter():
        kind = node.tag.rpartition("}")[2]
        if kind in {"polyline", "polygon"}:
            found += [tuple(map(float, pair.split(","))) for pair in node.attrib["points"].split()]
        elif kind == "circle":
            found.append((float(node.attrib["cx"]), float(node.attrib["cy"])))
        elif kind == "text":
            found.append((float(node.attrib["x"]), float(node.attrib["y"])))
    return found


@given(PLOTS)
@pytest.mark.origin("law", "a plot holds all its points")
def test_every_point_lies_inside_the_frame(plot):
    """Proper XML; no point, mark, tick or name outside the paper, no number outside the axes."""
    svg = draw_plot(plot)
    assert all(0.0 <= x <= WIDTH_MM and 0.0 <= y <= HEIGHT_MM for x, y in corners(svg))
    x_axis, y_axis = axes_of(plot)
    for series in plot.series:
        for x, y in series.points:
            assert x_axis.start_mm - 0.05 <= x_axis.at(x) <= x_axis.end_mm + 0.05
            assert y_axis.end_mm - 0.05 <= y_axis.at(y) <= y_axis.start_mm + 0.05
    assert draw_plot(plot) == svg


@given(st.lists(st.floats(1e-3, 1e4), min_size=2, max_size=8, unique=True))
@pytest.mark.origin("law", "equal ratios take equal room")
def test_equal_ratios(values):
    """The middle of an axis of ratios is the geometric mean of its ends; ticks lie between the ends."""
    low, high = min(values), max(values)
    if high / low < 1.01:
        return
    line = Series(name="l", points=tuple((value, 1.0) for value in values))
    axis, _ = axes_of(Plot(title="t", x_name="x", y_name="y", series=(line,), x_log=True))
    assert axis.at((low * high) ** 0.5) == pytest.approx((axis.start_mm + axis.end_mm) / 2.0, abs=0.051)
    assert all(axis.start_mm - 0.05 <= axis.at(tick) <= axis.end_mm + 0.05 for tick in axis.ticks)


@pytest.mark.origin("law", "nothing is told by colour alone")
def test_lines_and_marks_differ_without_colour():
    """Six different dashes, five different shapes."""
    assert len({dash for _, dash in PENS}) == len(PENS)
    shapes = {tuple(node.tag for node in ET.fromstring(f"<g>{mark((0, 0), n)}</g>").iter()) for n in range(5)}
    corner_counts = {mark((0.0, 0.0), number).count(",") for number in range(5)}
    assert len(shapes) + len(corner_counts) > 4
    assert len({mark((0.0, 0.0), number).split(" fill")[0] for number in range(5)}) == 5


@pytest.mark.origin("law", "the last digits of a computer do not change a picture")
def test_last_digits_do_not_matter():
    """Every number a few units of the last place larger: the same picture."""
    numbers = [(0.1 * i, (0.1 * i) ** 2) for i in range(11)]
    one, two = (
        Plot(title="t", x_name="x", y_name="y", series=(Series(name="l", points=tuple(points)),))
        for points in (numbers, [(x * (1 + 4e-16), y * (1 + 4e-16)) for x, y in numbers])
    )
    assert draw_plot(one) == draw_plot(two)


@pytest.mark.parametrize("points", [(), ((0.0, float("nan")),), ((float("inf"), 0.0),)])
@pytest.mark.origin("law", "what cannot be drawn is refused")
def test_what_cannot_be_drawn(points):
    """No points, or one that is no number."""
    with pytest.raises(ValueError, match="l has no points, or one that is no number"):
        draw_plot(Plot(title="t", x_name="x", y_name="y", series=(Series(name="l", points=points),)))


@pytest.mark.origin("law", "the plots of the manual obey the same laws")
def test_plots_of_the_manual():
    """All of them inside the frame, names included (about 0.6 of the text height a letter)."""
    pictures = {name: text for name, text in pages().items() if name.endswith(".svg")}
    assert len(pictures) > 20
    for name, svg in pictures.items():
        assert all(0.0 <= x <= WIDTH_MM and 0.0 <= y <= HEIGHT_MM for x, y in corners(svg)), name
        for node in ET.fromstring(svg).iter():
            if node.tag.endswith("}text") and node.attrib["text-anchor"] == "start":
                wide = 0.6 * float(node.attrib["font-size"]) * len(node.text)
                assert float(node.attrib["x"]) + wide <= WIDTH_MM, (name, node.text)
