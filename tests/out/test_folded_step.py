"""The folded part as a STEP file, read back by the CAD kernel and held against plain sums and the fold's own placements."""

from __future__ import annotations

import math
import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bendwright.drawing.folded_step import folded_step, folded_volume_mm3
from bendwright.drawing.step.read_step import read_step_here
from bendwright.findings import InputError, NotPossibleError
from bendwright.geometry.rigid import Array
from bendwright.job import blank_of
from bendwright.part.bend_size import BendSize, fixed_size
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.fold import fold
from bendwright.part.from_flats import FlatPiece, Fold, part_from_flats
from bendwright.part.model import Circle, Cutout, Part, Slot
from flat_parts import HEADER, bracket_with_window
from laws.test_fold import parts
from shop_talk import EXAMPLES, SHOP, as_bent, example, profile, sheet

pytest.importorskip("OCP", reason="the CAD kernel (extra step) is not installed")
NAMES = sorted(path.stem for path in EXAMPLES.glob("*.yaml"))


@dataclass(frozen=True)
class Read:
    """What the kernel finds in a file: solids, whether they are sound, volume, box, cylinder radii with the angle they span,
    number of faces.
    """

    solids: int
    sound: bool
    volume_mm3: float
    low: Array
    high: Array
    cylinders: Counter[tuple[float, float]]
    faces: int


def read(data: bytes, folder: Path) -> Read:
    """Read a STEP file as another program would."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepBndLib import BRepBndLib
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GeomAbs import GeomAbs_Cylinder
    from OCP.GProp import GProp_GProps
    from OCP.STEPControl import STEPControl_Reader
    from OCP.TopAbs import TopAbs_FACE, TopAbs_SOLID
    from OCP.TopoDS import TopoDS

    path = folder / "part.step"
    path.write_bytes(data)
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    shape = reader.OneShape()
    properties, box = GProp_GProps(), Bnd_Box()
    BRepGProp.VolumeProperties_s(shape, properties)
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    faces = [BRepAdaptor_Surface(TopoDS.Face(face)) for face in explored(shape, TopAbs_FACE)]
    cylinders = [
        (round(face.Cylinder().Radius(), 4), round(math.degrees(face.LastUParameter() - face.FirstUParameter()), 2))
        for face in faces
        if face.GetType() == GeomAbs_Cylinder
    ]
    return Read(
        solids=len(explored(shape, TopAbs_SOLID)),
        sound=BRepCheck_Analyzer(shape).IsValid(),
        volume_mm3=float(properties.Mass()),
        low=np.array([low.X(), low.Y(), low.Z()]),
        high=np.array([high.X(), high.Y(), high.Z()]),
        cylinders=Counter(cylinders),
        faces=len(faces),
    )


def explored(shape: Any, kind: Any) -> list[Any]:
    """All shapes of a kind in a shape."""
    from OCP.TopExp import TopExp_Explorer

    out, walk = [], TopExp_Explorer(shape, kind)
    while walk.More():
        out.append(walk.Current())
        walk.Next()
    return out


def hole_shape(feature: Any) -> shapely.Polygon:
    """A hole as a polygon, circles in 2000 corners."""
    if isinstance(feature, Circle):
        return shapely.Point(feature.centre).buffer(feature.diameter_mm / 2.0, quad_segs=500)
    if isinstance(feature, Slot):
        half = 0.5 * (feature.length_mm - feature.width_mm)
        turned = math.radians(feature.axis_deg)
        way = np.array([math.cos(turned), math.sin(turned)]) * half
        ends = [np.array(feature.centre) + sign * way for sign in (-1.0, 1.0)]
        return shapely.LineString(ends).buffer(feature.width_mm / 2.0, quad_segs=500)
    return shapely.Polygon(feature.points)


def summed_volume(blank: Blank) -> float:
    """Flat areas keep their thickness; a bend's sheet covers turned (R + t/2) per allowance. Polygons only."""
    holes = shapely.union_all([hole_shape(feature) for feature in blank.features])
    t = blank.thickness_mm
    total = sum(shapely.Polygon(flat.outline).difference(holes).area * t for flat in blank.flats)
    lines = {line.bend_id: line for line in blank.bend_lines}
    for zone in blank.zones:
        size, turned = blank.size(zone.bend_id), math.radians(lines[zone.bend_id].turned_deg)
        area = shapely.Polygon(zone.outline, zone.windows).difference(holes).area
        total += area / size.bend_allowance_mm * turned * (size.inside_radius_mm + t / 2.0) * t
    return total


def folded_points(part: Part, blank: Blank) -> Array:
    """Corners of all flats on both faces, and of the bends' sheet in 400 steps over the arc, by the fold's placements."""
    placed, half = fold(part, blank), 0.5 * blank.thickness_mm
    out = []
    for flat in blank.flats:
        ring = np.array(flat.outline)
        for z in (-half, half):
            out.append(placed[flat.flange_id].points(np.column_stack([ring, np.full(len(ring), z)])))
    bends = {bend.id: bend for bend in part.bends}
    lines = {line.bend_id: line for line in blank.bend_lines}
    for zone in blank.zones:
        line, size = lines[zone.bend_id], blank.size(zone.bend_id)
        along = np.subtract(line.end, line.start) / math.dist(line.start, line.end)
        out_of = np.array([along[1], -along[0]])
        sign = 1.0 if line.direction == "up" else -1.0
        s = (np.array(zone.outline) - line.start) @ along
        for radius in (size.inside_radius_mm, size.inside_radius_mm + blank.thickness_mm):
            for turned in np.linspace(0.0, math.radians(line.turned_deg), 400):
                flat_point = (
                    np.array(line.start) - 0.5 * line.zone_width_mm * out_of + radius * math.sin(turned) * out_of
                )
                xy = flat_point + np.outer([s.min(), s.max()], along)
                z = sign * (half + size.inside_radius_mm - radius * math.cos(turned))
                out.append(placed[bends[line.bend_id].parent].points(np.column_stack([xy, [z, z]])))
    return np.vstack(out)


def sizes_of(part: Part, *, radius: float, hem: float, k: float, t: float) -> Mapping[str, BendSize]:
    """Every air bend with one radius and K, hems with half their gap."""
    return {
        bend.id: fixed_size(
            bend,
            inside_radius_mm=radius if bend.kind == "bend" else hem,
            k_factor=k if bend.kind == "bend" else 0.5,
            thickness_mm=t,
        )
        for bend in part.bends
    }


def blank_of_example(name: str) -> tuple[Part, Blank]:
    """An example part with its blank for the tools of the shop."""
    part = example(name)
    return as_bent(part), blank_of(part, sheet(part.header.material, f"{part.header.thickness_mm:g}"), SHOP)


@pytest.mark.origin(
    "derived", "volume = flats x t + bends' sheet over allowance x turned (R + t/2) t; box of the folded corners"
)
@pytest.mark.parametrize("name", NAMES)
def test_examples_fold_to_one_sound_solid(name: str, tmp_path: Path) -> None:
    """Read back: one sound solid, the metal that was cut, as large as the fold says, with both radii of every bend."""
    part, blank = blank_of_example(name)
    got = read(folded_step(part, blank), tmp_path)
    assert (got.solids, got.sound) == (1, True)
    assert got.volume_mm3 == pytest.approx(summed_volume(blank), rel=2e-5)
    assert got.volume_mm3 == pytest.approx(folded_volume_mm3(blank), rel=1e-7)
    corners = folded_points(part, blank)
    assert got.low == pytest.approx(corners.min(axis=0), abs=2e-3)
    assert got.high == pytest.approx(corners.max(axis=0), abs=2e-3)
    for bend in part.bends:
        size = blank.size(bend.id)
        for radius in (size.inside_radius_mm, size.inside_radius_mm + blank.thickness_mm):
            if radius > 0.0:
                assert got.cylinders[round(radius, 4), round(bend.turned_deg, 2)] >= 1


@pytest.mark.origin("law", "what is folded and written is read back as the same flanges and bends")
@pytest.mark.parametrize("name", NAMES)
def test_a_reader_finds_the_part_again(name: str, tmp_path: Path) -> None:
    """The reading of models, which shares nothing with the writing, finds the bends' angles and radii, and the metal."""
    part, blank = blank_of_example(name)
    path = tmp_path / "part.step"
    path.write_bytes(folded_step(part, blank))
    reading = read_step_here(path, header=part.header)
    got = Counter((round(bend.turned_deg, 3), round(bend.drawn_radius_mm or 0.0, 3)) for bend in reading.part.bends)
    radii = {bend.id: blank.size(bend.id).inside_radius_mm for bend in part.bends}
    assert got == Counter((round(bend.turned_deg, 3), round(radii[bend.id], 3)) for bend in part.bends)
    assert len(reading.part.flanges) == len(part.flanges)
    assert reading.model_volume_mm3 == pytest.approx(folded_volume_mm3(blank), rel=1e-6)


@pytest.mark.origin(
    "derived", "an angle: two faces a leg, two of the bend, two ends, two edges; a hole adds one round wall"
)
def test_no_face_lies_inside(tmp_path: Path) -> None:
    """Nothing stands between a flat and its bend, ends are one face, a hole is one whole cylinder."""
    part = profile("40 u90 60 x 200")
    blank = blank_of(part, sheet("S235JR", "2"), SHOP)
    assert read(folded_step(part, blank), tmp_path).faces == 10
    hole = Circle(centre=(100.0, 20.0), diameter_mm=9.0)
    flats = (replace(blank.flats[0], features=(hole,)), *blank.flats[1:])
    got = read(folded_step(part, replace(blank, flats=flats, features=(hole,))), tmp_path)
    assert got.faces == 11
    assert got.cylinders[4.5, 360.0] == 1


@pytest.mark.origin(
    "derived", "volume = flats x t + bends' sheet over allowance x turned (R + t/2) t; box of the folded corners"
)
@pytest.mark.parametrize("radius", [0.0, 0.5, 2.0])
@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_windows_mitres_and_hems(radius: float, gap: float, tmp_path: Path) -> None:
    """A window over a bend, one inside a bend, a mitred bend, a hem shut or open, also with no radius at all."""
    part = bracket_with_window()
    blank = make_blank(part, sizes_of(part, radius=radius, hem=0.5 * gap, k=0.42, t=2.0), thickness_mm=2.0)
    got = read(folded_step(part, blank), tmp_path)
    assert (got.solids, got.sound) == (1, True)
    assert got.volume_mm3 == pytest.approx(summed_volume(blank), rel=1e-4)
    corners = folded_points(part, blank)
    assert got.low == pytest.approx(corners.min(axis=0), abs=2e-3)
    assert got.high == pytest.approx(corners.max(axis=0), abs=2e-3)


@pytest.mark.origin(
    "derived", "plate less window, foot up to the tangent line, quarter ring, tab; box of plate and tab"
)
@pytest.mark.parametrize("radius", [0.0, 1.0, 2.0, 3.0])
def test_a_tab_bent_out_of_a_window(radius: float, tmp_path: Path) -> None:
    """A tab 30 x 20 stands in a window of a plate 100 x 80; drawn with R 2, made with any."""
    window = Cutout(points=((30.0, 30.0), (30.0, 62.0), (70.0, 62.0), (70.0, 30.0)))
    plate = FlatPiece(id="P", outline=((0, 0), (100, 0), (100, 80), (0, 80)), features=(window,))
    tab = FlatPiece(id="T", outline=((0, 0), (30, 0), (30, 20), (0, 20)))
    bend = Fold(
        first="P", second="T", on_first=((65.0, 30.0), (35.0, 30.0)), on_second=((30.0, 0.0), (0.0, 0.0)),
        turned_deg=90.0, direction="up", inside_radius_mm=2.0,
    )  # fmt: skip
    part = part_from_flats(HEADER, (plate, tab), (bend,), thickness_mm=2.0)
    blank = make_blank(part, sizes_of(part, radius=radius, hem=0.0, k=0.42, t=2.0), thickness_mm=2.0)
    got = read(folded_step(part, blank), tmp_path)
    assert (got.solids, got.sound) == (1, True)
    assert got.high - got.low == pytest.approx(np.array([100.0, 80.0, 20.0 + 2.0 + 2.0]), abs=1e-3)
    plate_area, straight = 8000.0 - 40.0 * 32.0, 30.0 * (2.0 - radius) + 30.0 * (20.0 + 2.0 - radius)
    ring = 30.0 * 0.25 * math.pi * ((radius + 2.0) ** 2 - radius**2)
    assert got.volume_mm3 == pytest.approx(2.0 * (plate_area + straight) + ring, rel=1e-6)


@pytest.mark.origin(
    "derived", "a leg 60 back on itself: box = leg - t by 2 t + gap; both layers and a half ring are metal"
)
@pytest.mark.parametrize("gap", [0.0, 3.0])
def test_a_hem_lies_on_its_leg(gap: float, tmp_path: Path) -> None:
    """Shut, the two faces touch and stay two; open, the gap is there. t 1.5, hem 20 by 100."""
    typed = profile("60 u90 30 x 100")
    bend = replace(
        typed.bends[0],
        turned_deg=180.0,
        measured_to="outer_tangent",
        kind="hem_closed" if gap == 0.0 else "hem_open",
        hem_gap_mm=gap or None,
    )
    part = replace(typed, bends=(bend,))
    blank = make_blank(part, sizes_of(part, radius=0.0, hem=0.5 * gap, k=0.5, t=1.5), thickness_mm=1.5)
    got = read(folded_step(part, blank), tmp_path)
    assert (got.solids, got.sound) == (1, True)
    assert sorted(got.high - got.low) == pytest.approx(sorted((100.0, 60.0, 3.0 + gap)), abs=1e-3)
    straight = (60.0 - 1.5 - 0.5 * gap) + (30.0 - 1.5 - 0.5 * gap)
    ring = 0.5 * math.pi * ((1.5 + 0.5 * gap) ** 2 - (0.5 * gap) ** 2)
    assert got.volume_mm3 == pytest.approx(100.0 * (1.5 * straight + ring), rel=1e-6)


@given(
    parts, st.one_of(st.just(0.0), st.floats(0.2, 6.0)), st.floats(0.3, 0.5), st.floats(0.5, 4.0),
    st.lists(st.tuples(st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.floats(2.0, 20.0)), max_size=3),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
@pytest.mark.origin("derived", "volume = flats x t + bends' sheet over allowance x turned (R + t/2) t")
def test_any_part_folds(
    tmp_path_factory: pytest.TempPathFactory,
    part: Part,
    radius: float,
    k: float,
    t: float,
    holes: list[tuple[float, float, float]],
) -> None:
    """Profiles and panels, hems among them, any radius from none on, holes anywhere, also over bends and edges."""
    try:
        blank = make_blank(part, sizes_of(part, radius=radius, hem=0.5, k=k, t=t), thickness_mm=t)
    except NotPossibleError:
        assume(False)
        raise
    cut = [Circle(centre=(x * blank.width_mm, y * blank.height_mm), diameter_mm=diameter) for x, y, diameter in holes]
    whole = shapely.Polygon(blank.outline).difference(shapely.union_all([hole_shape(hole) for hole in cut]))
    assume(whole.geom_type == "Polygon" and whole.buffer(-0.05).geom_type == "Polygon")
    flats = (replace(blank.flats[0], features=(*blank.flats[0].features, *cut)), *blank.flats[1:])
    blank = replace(blank, flats=flats, features=(*blank.features, *cut))
    got = read(folded_step(part, blank), tmp_path_factory.mktemp("any"))
    assert (got.solids, got.sound) == (1, True)
    assert got.volume_mm3 == pytest.approx(summed_volume(blank), rel=1e-4)


@pytest.mark.origin(
    "law", "equal parts give equal files, whatever was written before; strings as ISO 10303-21 holds them"
)
def test_the_file_says_what_it_is(capfd: pytest.CaptureFixture[str]) -> None:
    """Part, revision and title are in it, quotes and other letters escaped; no date of writing; the kernel prints nothing."""
    part, blank = blank_of_example("mast_clamp")
    first = folded_step(part, blank)
    folded_step(*blank_of_example("thick_bracket"))
    assert folded_step(part, blank) == first
    header = replace(part.header, part_no="Häuschen 'A'\\7", revision="Ж", title="")
    text = folded_step(replace(part, header=header), blank).decode("ascii")
    assert "PRODUCT('H\\X2\\00E4\\X0\\uschen ''A''\\\\7'," in text
    assert "PRODUCT_DEFINITION_FORMATION('\\X2\\0416\\X0\\'," in text
    assert "FILE_NAME('H\\X2\\00E4\\X0\\uschen ''A''\\\\7','1970-01-01T00:00:00'," in text
    assert "AUTOMOTIVE_DESIGN" in text.split("ENDSEC;")[0]
    assert "SI_UNIT(.MILLI.,.METRE.)" in text
    assert capfd.readouterr() == ("", "")


@pytest.mark.origin("law", "the finding's own text")
def test_without_the_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    """A missing kernel is said with the way to get it."""
    part, blank = blank_of_example("mast_clamp")
    monkeypatch.setitem(sys.modules, "OCP.BRep", None)
    with pytest.raises(InputError) as caught:
        folded_step(part, blank)
    assert str(caught.value) == (
        "D500 error: The folded part needs the CAD kernel, which cannot be loaded: import of OCP.BRep halted; None in"
        " sys.modules. Install it with pip install 'bendwright[step]'; on Debian it also needs apt-get install libgl1"
        " libx11-6 libexpat1."
    )


@pytest.mark.origin("law", "the finding's own text, filled with what is wrong with the blank")
def test_what_cannot_be_folded() -> None:
    """A sheet cut in two, a number that is none, and metal that does not add up are said, not traced back."""
    part, blank = blank_of_example("mast_clamp")
    middle = (0.5 * blank.width_mm, 0.5 * blank.height_mm)
    long = 2.0 * max(blank.width_mm, blank.height_mm)
    saw = Slot(centre=middle, length_mm=long, width_mm=1.0, axis_deg=0.0)
    flats = (replace(blank.flats[0], features=(saw,)), *blank.flats[1:])
    wrong = {
        "D501 error [SM-1044]: The folded part cannot be built as a solid: UnfitError: the sheet falls into 2 pieces.": replace(
            blank, flats=flats, features=(saw,)
        ),
        "D501 error [blank]: The folded part cannot be built as a solid: a number of the blank is not finite.": replace(
            blank, area_mm2=math.nan
        ),
        "D502 error [SM-1044]: The solid of the folded part is not sound: 19.417 cm3 instead of": replace(
            blank, sizes=tuple(replace(size, inside_radius_mm=9.0) for size in blank.sizes)
        ),
    }
    for sentence, shape in wrong.items():
        with pytest.raises(InputError) as caught:
            folded_step(part, shape)
        assert str(caught.value).startswith(sentence)
        assert str(caught.value).endswith("if it is as it should be, report this part.")
