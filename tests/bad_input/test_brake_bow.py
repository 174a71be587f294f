"""Wrong words about a brake's bow: in its file, and at the command line; each with its exact finding."""

from __future__ import annotations

import json

import pytest

from bendwright.cli.app import run
from bendwright.findings import ShopFileError
from bendwright.shop.brake import Brake
from bendwright.shop.pages import page_from_text
from bendwright.shop.read_brakes import read_brakes

PLATE = "thickness: 60, height: 900, youngs_modulus: 210 GPa"
MEASURED = 'date: "2026-11-20", line_load: 240, load: [300, 2700], sag: 0.2'
TEST = "at=300-2700 load=240kN/m per_degree=0.076 angles=90.0/91.2/90.1"


def read(text: str) -> tuple[Brake, list[str]]:
    """One brake with these lines, and what is said of it besides what is missing."""
    passport = 'passport: {origin: a test, date: "2026-11-25"}'
    page = page_from_text(f"{passport}\nbrakes:\n- id: M9\n  name: Causeway\n{text}", "brakes.yaml", "brakes file")
    (brake,), findings = read_brakes(page)
    return brake, [str(finding) for finding in findings if finding.code != "S111"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (f"beams: {{ram: {{{PLATE}, supports: [100, 50]}}}}", "S121 .*ram.supports.*100 to 50 came"),
        ("beams: {ram: {height: 9 mm}}", "S130 .*beams.ram.height.*'9 mm' is outside 100 to 5000"),
        ("beams: {bed: {youngs_modulus: 210}}", "S130 .*'210' is outside 50000 to 300000"),
        ("beams: {frame_stiffness_kn_per_mm: 800}", "S108 .*A list is wanted here, but '800' came"),
        ("beams: {frame_stiffness_kn_per_mm: [0, 800]}", "Q111 .*zero"),
        ("beams: {table: 3}", "S105 .*no field 'table'"),
        (
            "crown_device: {form: wedge}",
            "S109 .*'wedge' is not one of the words allowed here: parabola, bed_bow, unknown",
        ),
        ("crown_device: {largest: 90 mm}", "S130 .*'90 mm' is outside 0.01 to 20"),
        ("bow_calibration: {line_load: 240, load: [300, 2700], sag: 0.2}", "S107 .*'date' of this bow calibration"),
        (f"bow_calibration: {{{MEASURED}, shear_share: 30}}", "S130 .*'30' is outside 0.01 to 0.95"),
        (f"bow_calibration: {{{MEASURED.replace('0.2', '-0.2')}}}", "Q110 .*sag"),
        (f"bow_calibration: {{{MEASURED.replace('11-20', '20-11')}}}", "S112 .*is not a date"),
    ],
)
def test_refused_fields(line: str, said: str) -> None:
    """Each is refused at its place."""
    with pytest.raises(ShopFileError, match=said):
        read(f"  {line}")


def test_places_that_cannot_be() -> None:
    """S150: held beyond its ends, a crown or a test bend off the bed."""
    plate = f"{PLATE}, supports: [250, 2850], ends: [300, 3100]"
    _, said = read(
        f"  bed_length: 3100\n  beams: {{ram: {{{plate}}}, bed: {{{plate}}}}}\n  crown_device: {{span: [0, 3200]}}\n"
        f"  bow_calibration: {{{MEASURED.replace('300, 2700', '-10, 2700')}}}"
    )
    assert [line.split(": ", 1)[1].split(" Check")[0].partition(". ")[0] for line in said] == [
        "For M9 the supports of the ram (250 to 2850 mm) does not lie within the ends of the ram (300 to 3100 mm)",
        "For M9 the supports of the bed (250 to 2850 mm) does not lie within the ends of the bed (300 to 3100 mm)",
        "For M9 the crown's span (0 to 3200 mm) does not lie within the bed (0 to 3100 mm)",
        "For M9 the load of the bow calibration (-10 to 2700 mm) does not lie within the bed (0 to 3100 mm)",
    ]
    assert all(line.startswith("S150 watch") for line in said)


def test_a_measured_bow_that_cannot_be_used() -> None:
    """S151: neither plates nor supports and share; with them it stands alone, and the plates are not missed."""
    brake, said = read(f"  bow_calibration: {{{MEASURED}}}")
    assert said == [
        "S151 watch [brakes.yaml:3 brakes[0]]: The bow measured on M9 on 2026-11-20 cannot be carried over to other "
        "lengths: the sizes of ram and bed are not known, and it has no supports and shear_share. Fill in beams, or the "
        "two supports and the shear share (0.3 is usual for plates) the test was worked out with."
    ]
    assert "beams.ram" in brake.missing_bow_fields()
    brake, said = read(f"  bow_calibration: {{{MEASURED}, shear_share: 0.3, supports: [250, 2850]}}")
    assert said == []
    assert "beams.ram" not in brake.missing_bow_fields()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["M9", "--test", TEST], "There is no brake 'M9' in the shop; it has M1, M2, M3, M4."),
        (["M1", "--test", "at=300-2700"], "'at=300-2700' is no test bend."),
        (["M1", "--test", f"{TEST} speed=3"], f"'{TEST} speed=3' is no test bend."),
        (["M1", "--test", f"{TEST} at=1-2"], f"'{TEST} at=1-2' is no test bend."),
        (["M1", "--test", TEST.replace("300-2700", "2700-300")], "'2700-300' is no length of the bed."),
        (["M1", "--test", TEST.replace("300-2700", "2700")], "'2700' is no length of the bed."),
        (["M1", "--test", TEST, "--date", "yesterday"], "'yesterday' is not a date."),
        (["M3", "--test", TEST, "--supports", "250-2850", "--shear-share", "30"], "30 is outside 0.01 to 0.95."),
        (["M1", "--test", TEST.replace("/91.2/90.1", "/91.2/")], "left, centre and right are all needed"),
    ],
)
def test_refused_test_bends(arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 1 or 2, one finding with a cure, no traceback."""
    assert run(["shop", "bow", *arguments, "--json"]) in (1, 2)
    (finding,) = json.loads(capsys.readouterr().out)["findings"]
    assert said in finding["sentence"]
    assert finding["cure"]
    assert finding["code"] in {"O104", "C170", "C171", "S112", "S130", "T120"}
