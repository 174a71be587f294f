"""Reading bent sheets whose answer is known: every kind of the catalogue, random ones, units, assemblies, sizes."""

from __future__ import annotations

import time
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

pytest.importorskip("OCP", reason="the CAD kernel (extra 'step') is not installed")

from hypothesis import HealthCheck, given, settings
from known import Known
from known_openings import hole_grid
from known_parts import CATALOGUE
from not_sheets import bolt, insert
from random_parts import boxes, finished_profiles, flapped_plates, profiles
from same_part import (
    HEADER,
    all_differences,
    bend_differences,
    flat_differences,
    fold_differences,
    leg_differences,
    opening_differences,
    place_differences,
    square_differences,
    volume_differences,
)
from step_files import anywhere, kernel_read, located, moved, together, write_step

from bendwright.drawing.reading import Reading
from bendwright.findings import PartFileError

MADE = (
    "the flat was laid out by hand and bent by the rule in bent_blank.py; thickness, bends, flat, volume follow from it"
)
EVERY = pytest.mark.parametrize("name", CATALOGUE)
EXAMPLES = settings(max_examples=15, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


def read_here(path: Path, body: int | None = None) -> Reading:
    """Read in this process."""
    from bendwright.drawing.step.read_step import read_step_here

    return read_step_here(path, header=HEADER, body=body)


def read_back(made: Known, *, seed: int = 0, unit: str = "MM") -> Reading:
    """Write a known sheet somewhere in space and read it."""
    with TemporaryDirectory() as folder:
        solid = moved(made.solid, anywhere(seed)) if seed else made.solid
        return read_here(write_step(Path(folder) / "part.step", solid, unit=unit))


@cache
def of_catalogue(name: str) -> tuple[Known, Reading]:
    """A sheet of the catalogue and what was read, each at a random place in space."""
    made = CATALOGUE[name]()
    return made, read_back(made, seed=1 + list(CATALOGUE).index(name))


@pytest.mark.origin("derived", MADE)
@EVERY
def test_thickness_and_bends(name: str) -> None:
    assert bend_differences(*of_catalogue(name)) == []


@pytest.mark.origin("derived", MADE)
@EVERY
def test_openings(name: str) -> None:
    assert opening_differences(*of_catalogue(name)) == []


@pytest.mark.origin("derived", MADE)
@EVERY
def test_the_flat(name: str) -> None:
    assert flat_differences(*of_catalogue(name)) == []


@pytest.mark.origin("derived", MADE)
@pytest.mark.parametrize("name", [name for name in CATALOGUE if name not in {"drilled_into_the_bend", "bevelled_ends"}])
def test_places_on_the_flat(name: str) -> None:
    assert place_differences(*of_catalogue(name)) == []


@pytest.mark.origin("derived", MADE)
@EVERY
def test_volumes(name: str) -> None:
    assert volume_differences(*of_catalogue(name)) == []


@pytest.mark.origin("law", "read, unfolded and folded again, a part is the model it came from")
@pytest.mark.parametrize("name", [name for name in CATALOGUE if len(CATALOGUE[name]().corners)])
def test_folds_back_to_the_model(name: str) -> None:
    assert fold_differences(*of_catalogue(name)) == []


@pytest.mark.origin(
    "derived", "outside legs end (R + t) tan(a/2) beyond the tangent line up to 90 degrees, R + t above"
)
@pytest.mark.parametrize(
    "name", [n for n in CATALOGUE if CATALOGUE[n]().legs_mm and "outline" not in n and "split_b" not in n]
)
def test_outside_legs(name: str) -> None:
    assert leg_differences(*of_catalogue(name)) == []


@pytest.mark.origin(
    "practice", "a blank is drawn with its long sides along the paper's, whatever way the model stood in space"
)
@pytest.mark.parametrize("name", [name for name in CATALOGUE if name != "corner_bracket"])
def test_the_blank_lies_straight(name: str) -> None:
    assert square_differences(*of_catalogue(name)) == []


@pytest.mark.origin(
    "practice", "a sheet turned right round on itself is a hem; closed where no more than half a thickness is between"
)
@pytest.mark.parametrize(("name", "kind", "gap"), [("closed_hem", "hem_closed", None), ("open_hem", "hem_open", 2.0)])
def test_hems(name: str, kind: str, gap: float | None) -> None:
    hems = [bend for bend in of_catalogue(name)[1].part.bends if bend.turned_deg > 179.0]
    assert {bend.kind for bend in hems} == {kind}
    assert all(bend.hem_gap_mm == (None if gap is None else pytest.approx(gap, abs=1e-3)) for bend in hems)


@pytest.mark.origin("practice", "a half round of 125 mm radius is rolled, no hem")
def test_a_roll_is_no_hem() -> None:
    roll = [bend for bend in of_catalogue("roll_with_feet")[1].part.bends if bend.turned_deg > 179.0]
    assert [bend.kind for bend in roll] == ["bend"]


@pytest.mark.origin("practice", "a screw head's seat is not cut with the flat, so the person is told")
def test_screw_heads_are_spoken_of() -> None:
    assert of_catalogue("screw_heads")[1].findings


@pytest.mark.origin("derived", MADE)
@EXAMPLES
@given(made=profiles())
def test_random_profiles(made: Known) -> None:
    reading = read_back(made, seed=7)
    assert all_differences(made, reading) + leg_differences(made, reading) == []


@pytest.mark.origin("derived", MADE)
@EXAMPLES
@given(made=boxes())
def test_random_boxes(made: Known) -> None:
    assert all_differences(made, read_back(made, seed=11)) == []


@pytest.mark.origin("derived", MADE)
@EXAMPLES
@given(made=flapped_plates())
def test_random_flaps_on_flaps(made: Known) -> None:
    assert all_differences(made, read_back(made, seed=13)) == []


@pytest.mark.origin(
    "derived", "what holes drilled, sunk and bored after bending, and broken edges, take away: see after_bending.py"
)
@EXAMPLES
@given(made=finished_profiles())
def test_random_finished_profiles(made: Known) -> None:
    reading = read_back(made, seed=17)
    assert all_differences(made, reading) + leg_differences(made, reading) == []


@pytest.mark.origin("law", "the unit a file is written in does not change the part")
@pytest.mark.parametrize("name", ["hat", "split_bend_line", "thin"])
def test_inch_files(name: str) -> None:
    made = CATALOGUE[name]()
    assert all_differences(made, read_back(made, unit="INCH")) == []


@pytest.mark.origin("law", "where a model stands in space does not change the part")
@pytest.mark.parametrize("seed", [21, 22, 23])
def test_any_place_in_space(seed: int) -> None:
    made = CATALOGUE["tapered_flanges"]()
    assert all_differences(made, read_back(made, seed=seed)) == []


@pytest.mark.origin("law", "read in a process of its own with limits, a file gives the same part")
def test_the_guarded_way_gives_the_same(tmp_path: Path) -> None:
    from bendwright.drawing.reading import ReadLimits
    from bendwright.drawing.step.read_step import read_step

    path = write_step(tmp_path / "part.step", CATALOGUE["lidded_tray"]().solid)
    guarded = read_step(path, header=HEADER, body=None, limits=ReadLimits())
    plain = read_here(path)
    assert guarded.part == plain.part
    assert [str(one) for one in guarded.findings] == [str(one) for one in plain.findings]
    assert guarded.model_volume_mm3 == pytest.approx(plain.model_volume_mm3)


@pytest.mark.origin("law", "a time limit of next to nothing is a finding, no hang and no trace")
def test_a_limit_that_is_too_short(tmp_path: Path) -> None:
    from bendwright.drawing.reading import ReadLimits
    from bendwright.drawing.step.read_step import read_step

    path = write_step(tmp_path / "part.step", CATALOGUE["lidded_tray"]().solid)
    with pytest.raises(PartFileError) as caught:
        read_step(path, header=HEADER, body=None, limits=ReadLimits(seconds=0.01))
    assert caught.value.findings[0].sentence


@pytest.mark.origin("derived", MADE)
def test_a_sheet_with_its_screws_and_inserts(tmp_path: Path) -> None:
    """The only sheet of the file is taken; the other bodies are listed and spoken of."""
    made = CATALOGUE["channel"]()
    place = anywhere(5)
    hardware = [bolt(30, 12, 40), bolt(60, 12, 40), insert(30, 50, 60), insert(70, 50, 60)]
    bodies = [*hardware[:2], made.solid, *hardware[2:]]
    path = write_step(tmp_path / "part.step", *(moved(body, place) for body in bodies))
    reading = read_here(path)
    assert all_differences(made, reading) == []
    assert [body.sheet for body in reading.bodies] == [False, False, True, False, False]
    assert reading.findings


@pytest.mark.origin("derived", MADE)
def test_a_sheet_deep_in_an_assembly(tmp_path: Path) -> None:
    """Bodies shared between places and carried by groups within groups."""
    made, screw = CATALOGUE["tapered_flanges"](), bolt(0, 0, 0)
    group = together([located(made.solid, anywhere(31)), located(screw, anywhere(32)), located(screw, anywhere(33))])
    whole = together([located(group, anywhere(34)), located(screw, anywhere(35))])
    reading = read_here(write_step(tmp_path / "part.step", whole))
    assert all_differences(made, reading) == []
    assert sorted(body.sheet for body in reading.bodies) == [False, False, False, True]


@pytest.mark.origin(
    "practice", "a sheet that is in the file twice is one part made twice: taken, or asked which, but told"
)
def test_the_same_sheet_twice(tmp_path: Path) -> None:
    made = CATALOGUE["hat"]()
    twice = together([located(made.solid, anywhere(41)), located(made.solid, anywhere(42))])
    path = write_step(tmp_path / "part.step", twice)
    try:
        reading = read_here(path)
    except PartFileError:
        reading = read_here(path, body=2)
    assert reading.findings or len(reading.bodies) == 2
    assert all_differences(made, reading) == []


@pytest.mark.origin("practice", "which of two sheets is meant only the person knows")
def test_two_sheets_ask_which(tmp_path: Path) -> None:
    first, second = CATALOGUE["hat"](), CATALOGUE["tabs"]()
    shift = np.eye(4)
    shift[:3, 3] = (300, 0, 0)
    path = write_step(tmp_path / "part.step", first.solid, moved(second.solid, shift), bolt(-50, 0, 0))
    with pytest.raises(PartFileError) as caught:
        read_here(path)
    said = str(caught.value)
    assert "1" in said
    assert "2" in said
    assert all_differences(first, read_here(path, body=1)) == []
    assert all_differences(second, read_here(path, body=2)) == []


@pytest.mark.origin("law", "a body that is not there, or is no sheet, cannot be taken")
@pytest.mark.parametrize("body", [0, 2, 4, -1, 10**9])
def test_a_body_that_cannot_be_taken(body: int, tmp_path: Path) -> None:
    path = write_step(tmp_path / "part.step", CATALOGUE["hat"]().solid, bolt(-50, 0, 0))
    with pytest.raises(PartFileError) as caught:
        read_here(path, body=body)
    assert caught.value.findings


@pytest.mark.origin("derived", MADE + "; three hundred holes take no more than a few times the kernel's own reading")
def test_three_hundred_holes(tmp_path: Path) -> None:
    made = hole_grid(20, 15)
    path = write_step(tmp_path / "part.step", made.solid)
    start = time.perf_counter()
    kernel_read(path)
    kernel = time.perf_counter() - start
    reading = read_here(path)
    took = time.perf_counter() - start - kernel
    assert bend_differences(made, reading) + opening_differences(made, reading) == []
    assert flat_differences(made, reading) == []
    assert took < 6.0 * kernel + 1.0, (took, kernel)
