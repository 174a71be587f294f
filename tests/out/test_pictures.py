"""The pictures: well-formed, true to scale, and readable without colour."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from sample_blank import LINES, WIDTH, blank, tray_blank
from sample_plan import channel_plan

from bendwright.said import say
from bendwright.sheets.blank_picture import DOWN_DASH, UP_DASH, blank_svg
from bendwright.sheets.icons import handling_svg, handling_words, included_svg
from bendwright.sheets.palette import INK, LOOKS
from bendwright.sheets.section_picture import SMALL_MM, farthest, plan_pictures, section_svg, window_of
from bendwright.sheets.station_picture import stations_svg
from bendwright.sheets.svg import in_german_words, picture, words

PLAN = channel_plan()
SVG = "{http://www.w3.org/2000/svg}"


def outlines(svg: str, **wanted: str) -> list[list[tuple[float, float]]]:
    """Corner points of all polygons and polylines with the wanted attributes."""
    rows = []
    for item in ElementTree.fromstring(svg).iter():
        if item.tag in (f"{SVG}polygon", f"{SVG}polyline") and all(item.get(k) == v for k, v in wanted.items()):
            pairs = (pair.split(",") for pair in item.attrib["points"].split())
            rows.append([(float(x), float(y)) for x, y in pairs])
    return rows


@pytest.mark.origin("law", "every picture is well-formed and plain")
def test_all_pictures() -> None:
    """Each parses, refers to no style sheet or foreign object, and its identifiers are its own."""
    pictures = plan_pictures(PLAN)
    assert list(pictures) == ["blank", "stations", "stroke-01", "stroke-02", "stroke-03", "stroke-04"]
    seen: list[str] = []
    for svg in pictures.values():
        root = ElementTree.fromstring(svg)
        assert root.find(f"{SVG}title") is not None
        assert "var(" not in svg
        assert "currentColor" not in svg
        assert "foreignObject" not in svg
        seen += re.findall(r' id="([^"]+)"', svg)
    assert len(seen) == len(set(seen))


@pytest.mark.origin("law", "one scale for both directions: lengths on paper are lengths of the section times the scale")
def test_section_is_true_to_scale() -> None:
    """The die's outline in the picture is the die's outline, times one number."""
    stroke = PLAN.strokes[2]
    window = window_of(stroke, width_mm=70.0, height_mm=60.0)
    die = next(item for item in stroke.view.polygons if item.role == "die")
    drawn = outlines(section_svg(stroke), fill="url(#stroke3-die)")
    assert len(drawn) == 1
    (x0, y0), (px0, py0) = die.points[0], drawn[0][0]
    for (x, y), (px, py) in zip(die.points, drawn[0], strict=True):
        assert px - px0 == pytest.approx((x - x0) * window.scale, abs=0.002)
        assert py0 - py == pytest.approx((y - y0) * window.scale, abs=0.002)


@pytest.mark.origin("law", "what matters is inside the frame")
@pytest.mark.parametrize("size", [(70.0, 60.0), (30.0, 24.0), (44.0, 56.0)])
def test_section_shows_die_and_finger(size: tuple[float, float]) -> None:
    """The die's mouth, the finger's nose and the bent part (as far as the window reaches) are inside."""
    for stroke in PLAN.strokes:
        window = window_of(stroke, width_mm=size[0], height_mm=size[1])
        low, high = farthest(stroke, width_mm=size[0])
        points = [(-8.0, 0.0), (8.0, 0.0), (stroke.gauging.x_mm, 0.5)]
        for item in stroke.view.polygons:
            if item.role == "part":
                points += item.points
        for x, y in points:
            if low[0] <= x <= high[0] and y <= high[1]:
                px, py = window.at((x, y))
                assert -0.01 <= px <= size[0] + 0.01
                assert -0.01 <= py <= size[1] + 0.01


@pytest.mark.origin("law", "start dashed, end filled")
def test_start_is_dashed_and_end_filled() -> None:
    """The sheet before the stroke is an empty dashed outline, after it a filled one."""
    svg = section_svg(PLAN.strokes[3])
    start, end = LOOKS["part_start"], LOOKS["part"]
    assert start.fill == "none"
    assert start.dash
    before = outlines(svg, fill="none", **{"stroke-dasharray": start.dash})
    after = outlines(svg, fill=end.fill)
    count = {role: sum(item.role == role for item in PLAN.strokes[3].view.polygons) for role in ("part_start", "part")}
    assert (len(before), len(after)) == (count["part_start"], count["part"])


@pytest.mark.origin("law", "states differ in shape and word, not only in colour")
def test_clearance_states() -> None:
    """ok is a ring, watch a triangle with its word, a clash a hatched disc with a cross and its word."""
    stroke = PLAN.strokes[3]
    pictures = {
        verdict: section_svg(replace(stroke, clearance=replace(stroke.clearance, verdict=verdict)))
        for verdict in ("ok", "watch", "no")
    }
    assert "watch</text>" not in pictures["ok"]
    assert "clash" not in pictures["ok"].replace("stroke4-clash", "")
    assert ">watch</text>" in pictures["watch"]
    assert ">clash</text>" in pictures["no"]
    assert "url(#stroke4-clash)" in pictures["no"]


def lightness(colour: str) -> float:
    """Relative luminance of #rrggbb (sRGB weights on linear light)."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.origin("memory", "WCAG 2, relative luminance and contrast ratio (L1 + 0.05) / (L2 + 0.05)")
def test_readable_as_a_grey_copy() -> None:
    """Outlines stand off white paper by 3 to 1 in grey; text ink by 7 to 1; the tools differ in hatching."""
    white = lightness("#ffffff") + 0.05
    assert white / (lightness(INK) + 0.05) >= 7.0
    for role in ("die", "punch", "finger", "part", "part_start"):
        assert white / (lightness(LOOKS[role].stroke) + 0.05) >= 3.0, role
    turned = [LOOKS[role].hatch_deg for role in ("die", "punch", "finger")]
    assert None not in turned
    assert len(set(turned)) == 3


@pytest.mark.origin("derived", "bend lines 13.11, 49.33, 125.55 and 161.77 from the edge of a 174.88 wide blank")
def test_blank_is_true_to_scale() -> None:
    """On paper the long side lies across; lines keep their places at one scale in both directions."""
    svg = blank_svg(blank(), grain="along_y", width_mm=170.0, height_mm=60.0)
    outline = outlines(svg)[0]
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    scale = (max(xs) - min(xs)) / 1200.0
    assert (max(ys) - min(ys)) / WIDTH == pytest.approx(scale, rel=1e-3)
    places = sorted((line[0][1] - min(ys)) / scale for line in outlines(svg, **{"stroke-dasharray": UP_DASH}))
    assert places == pytest.approx(list(LINES), abs=0.02)
    assert [round(x, 2) for x in LINES] == [13.11, 49.33, 125.55, 161.77]
    assert "174.88</text>" in svg
    assert "1200.00</text>" in svg


@pytest.mark.origin("law", "1 inch = 25.4 mm: 174.88 mm are 6.885 in, 1200 mm 47.244 in")
def test_blank_has_its_sizes_in_inches_for_who_reads_them() -> None:
    """The same picture with the same sizes in the other unit, which stands with them."""
    svg = blank_svg(blank(), unit="inch")
    assert "6.885 in</text>" in svg
    assert "47.244 in</text>" in svg
    assert outlines(svg) == outlines(blank_svg(blank()))


@pytest.mark.origin("law", "up and down differ in line and mark; names are on the picture")
def test_blank_words_and_directions() -> None:
    """Three lines up and one down, each with its name; the grain arrow only where the grain is known."""
    svg = blank_svg(tray_blank(), grain="along_x")
    assert len(outlines(svg, **{"stroke-dasharray": UP_DASH})) == 3
    assert len(outlines(svg, **{"stroke-dasharray": DOWN_DASH})) == 1
    for name in ("W1", "W2", "W3", "W4", "grain", "x→"):
        assert f">{name}</text>" in svg
    assert "grain" not in blank_svg(tray_blank(), grain="unknown")


@pytest.mark.origin("law", "names in the right margin do not cover each other")
def test_crowded_bend_lines_keep_their_names_apart() -> None:
    """Bend lines 1 mm apart on the sheet get names one text height apart on paper."""
    shape = blank()
    lines = tuple(
        replace(shape.bend_lines[0], bend_id=f"n{i}", start=(20.0 + i, 1200.0), end=(20.0 + i, 0.0)) for i in range(5)
    )
    svg = blank_svg(replace(shape, bend_lines=lines), width_mm=90.0, height_mm=30.0)
    rows = sorted({float(y) for y in re.findall(r'<text x="[0-9.]+" y="([0-9.]+)"[^>]*>n\d', svg)})
    assert len(rows) == 5
    assert min(b - a for a, b in pairwise(rows)) >= 3.59


@pytest.mark.origin("derived", "two stations 0..300 and 500..600: 600 mm over the width less 12 mm of margin")
def test_stations() -> None:
    """Stations stand at one scale from left to right, with number, ends and length in words."""
    first = replace(PLAN.stations[0], length_mm=300.0, left_end_z_mm=0.0, punch_pieces=(), die_pieces=())
    second = replace(first, number=2, length_mm=100.0, left_end_z_mm=500.0)
    svg = stations_svg(replace(PLAN, stations=(second, first)), width_mm=132.0)
    boxes = [(min(x for x, _ in box), max(x for x, _ in box)) for box in outlines(svg, **{"stroke-dasharray": "1 0.6"})]
    assert boxes[0] == pytest.approx((6.0, 66.0))
    assert boxes[2] == pytest.approx((106.0, 126.0))
    assert ">mm from the left end of the bed: 0 … 300<" in svg
    assert ">500 … 600<" in svg


@pytest.mark.origin("law", "the sign and its words say the same")
def test_handling_signs() -> None:
    """Nothing, turn, flip, both: four different signs with their words as title."""
    handling = PLAN.strokes[0].handling
    turned = replace(handling, turn_deg=-90.0)
    both = replace(turned, flip=True)
    cases = (handling, turned, replace(handling, turn_deg=90.0), replace(handling, flip=True), both)
    signs = [handling_svg(case) for case in cases]
    assert len(set(signs)) == 5
    assert [handling_words(case) for case in cases][1:] == [
        "turn -90°",
        "turn 90°",
        "flip over",
        "flip over, turn -90°",
    ]
    assert handling_words(handling) == handling_words(replace(handling, turn_deg=0.6)) == "as it lies"
    assert handling_words(replace(handling, turn_deg=136.397)) == "turn 136°"
    assert all(f">{handling_words(case)}</title>" in sign for case, sign in zip(cases, signs, strict=True))
    assert "included angle" in included_svg()


@pytest.mark.origin("derived", "punch 835, die 835 + 300 + 50 + 15 = 1200 from 100: ends at 935 and 1300")
def test_die_longer_than_punch() -> None:
    """Both stacks begin at the same place; the longer die is drawn and said, and fits into the picture."""
    station = PLAN.stations[0]
    station = replace(station, left_end_z_mm=100.0, length_mm=835.0, punch_pieces=station.punch_pieces[:1])
    svg = stations_svg(replace(PLAN, stations=(station,)), width_mm=132.0)
    boxes = [(min(x for x, _ in box), max(x for x, _ in box)) for box in outlines(svg) if len(box) == 4]
    assert boxes[0] == pytest.approx((6.0, 6.0 + 835.0 / 10.0), abs=0.01)
    assert max(right for _, right in boxes) == pytest.approx(126.0, abs=0.01)
    assert ">mm from the left end of the bed: 100 … 935, die … 1300<" in svg


@pytest.mark.origin("law", "stations that hang in turn stand in rows of their own")
def test_set_ups_in_rows() -> None:
    """Two set-ups at the same place on the bed: two rows, each box in its own."""
    other = replace(PLAN.stations[0], number=2, set_up=2)
    svg = stations_svg(replace(PLAN, stations=(PLAN.stations[0], other)))
    assert ">set-up 1: station 1<" in svg
    assert ">set-up 2: station 2<" in svg
    tops = sorted({min(y for _, y in box) for box in outlines(svg) if len(box) == 4})
    assert tops == pytest.approx([4.6, 9.2, 23.2, 27.8])


@pytest.mark.origin("law", "a mark stands where the drawn sheet comes near something, or where an eye is needed")
def test_mark_off_the_drawn_sheet() -> None:
    """A place that is ok and off the section is not marked; one to watch always is."""
    stroke = PLAN.strokes[3]
    corner = next(item for item in stroke.view.polygons if item.role == "part").points[0]
    on, away = (replace(stroke.clearance, at_point=point) for point in (corner, (60.0, 90.0)))
    marks = [section_svg(replace(stroke, clearance=item)).count("<circle") for item in (on, away)]
    assert marks == [3, 1], "the operator's head, and the ring with its halo"
    assert ">watch</text>" in section_svg(replace(stroke, clearance=replace(away, verdict="watch")))


@pytest.mark.origin("law", "letters over hatching are not read")
@pytest.mark.parametrize("size", [(44.0, 35.5), (50.0, 40.0), (70.0, 60.0), (180.0, 126.0)])
def test_the_scale_stands_beside_the_die(size: tuple[float, float]) -> None:
    """Bar and words keep clear of the die, on whichever side of it there is room, and stay in the frame."""
    for stroke in PLAN.strokes:
        svg = section_svg(stroke, width_mm=size[0], height_mm=size[1])
        (x, text), *_ = re.findall(r'<text x="([\d.]+)"[^>]*text-anchor="middle"[^>]*>(\d+(?: mm)?)</text>', svg)
        low, high = float(x) - 1.0 * len(text), float(x) + 1.0 * len(text)
        assert 0.0 <= low < high <= size[0]
        for die in outlines(svg, fill=f"url(#stroke{stroke.number}-die)"):
            left, right = min(px for px, _ in die), max(px for px, _ in die)
            assert high <= left or right <= low


@pytest.mark.origin("law", "a small picture shows more by showing less")
def test_small_picture() -> None:
    """Below the small width no words and no scale bar, a larger scale, and a clearance to watch inside the frame."""
    stroke = PLAN.strokes[3]
    watched = replace(stroke, clearance=replace(stroke.clearance, verdict="watch", at_point=(-90.0, 80.0)))
    assert "<text" not in section_svg(watched, width_mm=SMALL_MM - 1.0, height_mm=24.0)
    assert "<text" in section_svg(watched, width_mm=SMALL_MM, height_mm=24.0)
    x, y = window_of(watched, width_mm=30.0, height_mm=24.0).at((-90.0, 80.0))
    assert 0.0 <= x <= 30.0
    assert 0.0 <= y <= 24.0
    flat_sheet = PLAN.strokes[0]
    small = window_of(flat_sheet, width_mm=30.0, height_mm=24.0).scale / 30.0
    assert small > window_of(flat_sheet, width_mm=60.0, height_mm=48.0).scale / 60.0


@pytest.mark.origin("law", "long names stay on the paper")
def test_long_bend_names() -> None:
    """Names of twenty letters on a small blank: all in the right margin, one below the other, none cut off."""
    shape = tray_blank()
    lines = tuple(replace(line, bend_id=f"{line.bend_id}_a_rather_long_name") for line in shape.bend_lines)
    svg = blank_svg(replace(shape, bend_lines=lines), width_mm=89.0, height_mm=30.0)
    wide, high = (float(number) for number in re.findall(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', svg)[0])
    places = {(float(x), float(y)) for x, y in re.findall(r'<text x="([0-9.]+)" y="([0-9.]+)"[^>]*>W\d_a', svg)}
    assert len(places) == 4
    assert wide <= 89.0
    assert all(x + 2.3 * 21 <= wide and y <= high for x, y in places)
    rows = sorted(y for _, y in places)
    assert min(b - a for a, b in pairwise(rows)) >= 3.59


@pytest.mark.origin("law", "names stay as they are; what is no name is said in German too")
def test_words_of_pictures_carry_their_german() -> None:
    """Sizes with a comma, words in German; a bend that is called "grain" is called so in German; signs of XML stay signs."""
    named = replace(tray_blank(), bend_lines=(replace(tray_blank().bend_lines[0], bend_id="grain"),))
    german = in_german_words(blank_svg(named, grain="along_x"))
    texts = [item.text for item in ElementTree.fromstring(german).iter() if item.tag in (f"{SVG}text", f"{SVG}title")]
    assert {"grain", "Walzrichtung"} <= set(texts)
    assert not any(re.search(r"\d\.\d", text or "") for text in texts)
    assert str(texts[0]).startswith("Zuschnitt ")
    odd = say("picture.operator", number=1, bends='b"<&1')
    carried = in_german_words(picture([words((0.0, 0.0), odd)], width_mm=10.0, height_mm=10.0, title=odd))
    assert [item.text for item in ElementTree.fromstring(carried).iter() if item.tag == f"{SVG}title"] == [
        'Hub 1, b"<&1: das Blech auf der Matrize, vom Bediener gesehen'
    ]
