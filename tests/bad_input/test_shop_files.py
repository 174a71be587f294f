"""Mangled shop files, each with the exact findings a person gets to read.

The files lie in ``shop/``, named ``<kind of file>-<what is wrong>.yaml``; ``expected.txt`` beside them holds for each
file its findings, one a line.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bendwright.findings import BendwrightError, Severity, ShopFileError
from bendwright.shop.fields import a_text
from bendwright.shop.pages import read_page
from bendwright.shop.read import built_in_shop_folder, read_shop
from bendwright.shop.read_bend_table import read_bend_table, table_findings
from bendwright.shop.read_brakes import read_brakes
from bendwright.shop.read_materials import built_in_materials, read_materials
from bendwright.shop.read_passport import read_passport
from bendwright.shop.read_practice import read_practice
from bendwright.shop.read_tools import read_dies, read_punches

FOLDER = Path(__file__).parent / "shop"


def read_name(page: Any) -> str:
    """The shop file itself."""
    read_passport(page)
    name: str = page.needed("name", a_text)
    page.done()
    return name


READERS: dict[str, Callable[[Any], Any]] = {
    "shop": read_name,
    "punches": read_punches,
    "dies": read_dies,
    "brakes": read_brakes,
    "practice": lambda page: read_practice(page, built_in_materials()),
    "materials": lambda page: read_materials(page, built_in_materials()),
    "bend_table": lambda page: read_bend_table(page, built_in_materials()),
}


def expected() -> dict[str, list[str]]:
    """Findings by file."""
    by_file: dict[str, list[str]] = {}
    for line in (FOLDER / "expected.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("== "):
            by_file[line.removeprefix("== ")] = []
        elif line:
            by_file[list(by_file)[-1]].append(line)
    return by_file


EXPECTED = expected()


def test_every_mangled_file_has_its_findings() -> None:
    """No file without expectation, none expected that is not there, and there are many."""
    assert sorted(EXPECTED) == sorted(path.name for path in FOLDER.glob("*.yaml"))
    assert len(EXPECTED) >= 50


@pytest.mark.parametrize("name", list(EXPECTED))
def test_the_exact_findings(name: str) -> None:
    """Each mangled file is refused with exactly its findings: place, sentence and cure."""
    kind = name.partition("-")[0]
    with pytest.raises(ShopFileError) as caught:
        READERS[kind](read_page(FOLDER / name, f"{kind} file"))
    assert [str(finding) for finding in caught.value.findings] == EXPECTED[name]


@pytest.mark.parametrize("kind", ["punches", "dies", "brakes", "practice"])
def test_cut_anywhere_never_a_traceback(kind: str, tmp_path: Path) -> None:
    """A shop file cut off at any line is read or refused with findings; nothing else comes out."""
    lines = (built_in_shop_folder() / f"{kind}.yaml").read_text(encoding="utf-8").splitlines()
    path = tmp_path / f"{kind}.yaml"
    refused = 0
    for end in range(0, len(lines), 5):
        path.write_text("\n".join(lines[:end])[:-2], encoding="utf-8")
        try:
            READERS[kind](read_page(path, kind))
        except BendwrightError as error:
            refused += bool(error.findings)
    assert refused > 0


def copy_of_saltmarsh(tmp_path: Path) -> Path:
    """A copy of the shipped shop to spoil."""
    return Path(shutil.copytree(built_in_shop_folder(), tmp_path / "shop"))


def test_all_files_of_a_shop_are_complained_of_together(tmp_path: Path) -> None:
    """Three spoiled files give one list with the findings of all three."""
    folder = copy_of_saltmarsh(tmp_path)
    (folder / "dies.yaml").unlink()
    brakes = (folder / "brakes.yaml").read_text(encoding="utf-8")
    (folder / "brakes.yaml").write_text(brakes.replace("1000 kN", "100 ton"), encoding="utf-8")
    (folder / "punches.yaml").write_bytes(b"\x80\x81")
    with pytest.raises(ShopFileError) as caught:
        read_shop(folder)
    assert [str(finding) for finding in caught.value.findings] == [
        "S104 error [punches.yaml]: This is no shop file: byte 0 is no UTF-8 text. A shop file is plain UTF-8 text, "
        "under 1 MB, of at most a few thousand values.",
        "S102 error [dies.yaml]: This file cannot be opened: no such file or directory. A shop needs it; copy it from "
        "the Saltmarsh example and fill in your own.",
        "Q108 error [brakes.yaml:11 brakes[0].rated_force]: '100 ton': which ton is meant? A US ton-force is 8.896 kN, "
        "a tonne-force 9.807 kN. Write kN, US ton or tonne.",
    ]


def test_no_such_folder(tmp_path: Path) -> None:
    """A shop that is not there, and one that is a file."""
    for path in (tmp_path / "nowhere", Path(__file__)):
        with pytest.raises(ShopFileError) as caught:
            read_shop(path)
        assert str(caught.value) == (
            f"S101 error [{path}]: There is no shop folder '{path.name}'. Name a folder that holds shop.yaml, "
            "punches.yaml, dies.yaml, brakes.yaml and practice.yaml."
        )


def test_two_bend_tables(tmp_path: Path) -> None:
    """One table or the other; a table that is there is read with the shop."""
    folder = copy_of_saltmarsh(tmp_path)
    head = "# origin: strips\n# date: 2026-11-25\n"
    columns = "material,thickness_mm,die_opening_mm,turned_deg,bend_deduction_mm,measured_to\n"
    (folder / "bend_table.csv").write_text(f"{head}{columns}S235JR,2,16,90,-3.9,mould_line\n", encoding="utf-8")
    shop = read_shop(folder)
    assert shop.bend_table is not None
    assert str(shop.findings[-1]) == (
        "S134 watch [bend table]: A deduction of -3.9 mm is below 0 though the legs go to the mould line (S235JR, t 2, "
        "V 16, punch radius any, turned 90, mould_line). Check the sign: blank = sum of legs - sum of deductions."
    )
    assert list(table_findings(shop.bend_table)) == [shop.findings[-1]]
    (folder / "bend_table.yaml").write_text("rows: []", encoding="utf-8")
    with pytest.raises(ShopFileError) as caught:
        read_shop(folder)
    assert str(caught.value) == (
        "S136 error [shop]: There are two bend tables, bend_table.yaml and bend_table.csv. Keep one."
    )


def test_too_large_and_too_many(tmp_path: Path) -> None:
    """A file of megabytes, one that unfolds through aliases, one with zero bytes."""
    path = tmp_path / "dies.yaml"
    for content, why in (
        ("#" * 1_000_001, "it is larger than 1 MB"),
        ("a: b\0", "it holds zero bytes"),
        (
            "a: &a [1,1,1,1,1,1,1,1,1,1]\n"
            + "".join(f"{n}: &{n} [{','.join(['*' + m] * 10)}]\n" for m, n in ("ab", "bc", "cd", "de")),
            "more than 50000 values",
        ),
    ):
        path.write_text(content, encoding="utf-8")
        with pytest.raises(ShopFileError, match=f"S104 .*{why}"):
            read_page(path, "dies file")


def test_what_is_said_without_refusing(tmp_path: Path) -> None:
    """Mixed ground heights, odd machine numbers and an own material come back as watches and notes with the shop."""
    folder = copy_of_saltmarsh(tmp_path)
    punches = (folder / "punches.yaml").read_text(encoding="utf-8")
    ground = punches.replace('{length: 10, location: "drawer 1"}', "{length: 10, ground_height: 119.95}", 1)
    ground = ground.replace('{length: 15, location: "drawer 1"}', "{length: 15, ground_height: 120}", 1)
    (folder / "punches.yaml").write_text(ground, encoding="utf-8")
    brakes = (folder / "brakes.yaml").read_text(encoding="utf-8")
    odd = brakes.replace("between_frames: 2600 mm", "between_frames: 3200 mm").replace(
        "open_height: 420", "open_height: 200"
    )
    (folder / "brakes.yaml").write_text(odd, encoding="utf-8")
    (folder / "materials.yaml").write_text(
        'passport: {origin: own, date: "2026-11-25"}\n'
        "materials:\n"
        "  - {name: DC01, based_on: DC01, tensile_strength: 45 ksi, springback: 0.8,\n"
        "     provenance: certificates of 2026}\n",
        encoding="utf-8",
    )
    shop = read_shop(folder)
    said = [str(finding) for finding in shop.findings if finding.code != "S111"]
    assert said == [
        "S126 note [materials.yaml:3 materials[0]]: The shop's own 'DC01' takes the place of the built-in one.",
        "S120 watch [punches.yaml:9 punches[0]]: Pieces of P1 differ in ground height by 0.05 mm (119.95 to 120). Do "
        "not mix them in one stack: more than 0.02 mm shows in the angle.",
        "S129 watch [brakes.yaml:7 brakes[0]]: For M1 the distance between frames (3200 mm) is not below the bed "
        "length (3100 mm). Check both on the machine's plate.",
        "S129 watch [brakes.yaml:62 brakes[1]]: For M2 the stroke (200 mm) is not below the open height (200 mm). "
        "Check both on the machine's plate.",
    ]
    assert all(finding.severity is not Severity.ERROR for finding in shop.findings)
    own, shipped = shop.materials["DC01"], built_in_materials()["DC01"]
    assert own.tensile_mpa == pytest.approx(310.264, abs=1e-3)
    assert (own.springback_deg, own.yield_mpa, own.hardening) == (0.8, shipped.yield_mpa, shipped.hardening)
    assert own.provenance.startswith("certificates of 2026; everything else as DC01: standard values: ")


def test_a_file_in_inches(tmp_path: Path) -> None:
    """``length_unit: inch`` turns bare lengths of that file only; a named unit still wins."""
    folder = copy_of_saltmarsh(tmp_path)
    (folder / "dies.yaml").write_text(
        'passport: {origin: own, date: "2026-11-25", length_unit: inch}\n'
        "dies:\n"
        "  - {id: V5, name: half inch, kind: vee, opening: 1/2, opening_measured: sharp_corners, included_angle: 85,\n"
        "     shoulder_radius: 1 mm, height: 2 1/2, shape: {form: block, width: 1}, pieces: [{length: 36}]}\n",
        encoding="utf-8",
    )
    die = read_shop(folder).cabinet.die("V5")
    assert (die.opening_mm, die.height_mm, die.shoulder_radius_mm) == (12.7, 63.5, 1.0)
    assert die.pieces[0].length_mm == pytest.approx(914.4)
    assert die.passport.units == "inch, kN, MPa, degrees"
