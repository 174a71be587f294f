"""Wrong words about what holds the punch, the die holder and the back gauge's bodies; each with its exact finding."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from bendwright.cli.app import run
from bendwright.findings import ShopFileError
from bendwright.shop.brake import Brake
from bendwright.shop.pages import page_from_text
from bendwright.shop.read import built_in_shop
from bendwright.shop.read_brakes import read_brakes

CLAMPS = "height: 127 mm, half_depth: 15 mm, pieces: [{length: 90 mm, count: 12}, {length: 40 mm}]"
AT = "brakes.yaml:5 brakes[0]."


def read(*lines: str, header: str = "") -> tuple[Brake, list[str]]:
    """One brake with these lines, and what is said of it besides what is missing."""
    passport = f'passport: {{origin: a test, date: "2026-11-25"{header}}}'
    text = "".join(f"\n  {line}" for line in lines)
    page = page_from_text(f"{passport}\nbrakes:\n- id: M9\n  name: Causeway{text}", "brakes.yaml", "brakes file")
    (brake,), findings = read_brakes(page)
    return brake, [str(finding) for finding in findings if finding.code != "S111"]


def clamps(old: str = "", new: str = "") -> str:
    """The line of clamps, spoilt in one place."""
    assert old in CLAMPS
    return f"punch_clamps: {{{CLAMPS.replace(old, new, 1) if old else CLAMPS}}}"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            clamps("127 mm", "0"),
            "Q111 error [{at}punch_clamps.height]: The length '0' is zero, and only more than 0 makes sense here.",
        ),
        (
            clamps("127 mm", "-127"),
            "Q110 error [{at}punch_clamps.height]: The length '-127' is negative, and only more than 0",
        ),
        (clamps("127 mm", "tall"), "Q102 error [{at}punch_clamps.height]: 'tall' cannot be read as a length."),
        (
            clamps("127 mm", "127 kN"),
            "Q106 error [{at}punch_clamps.height]: '127 kN' is a force, but a length is wanted here.",
        ),
        (
            clamps("127 mm", "12.7 km"),
            "Q105 error [{at}punch_clamps.height]: 'km' in '12.7 km' is not a unit of length",
        ),
        (clamps("127 mm", "1e300"), "Q105 error [{at}punch_clamps.height]: 'e300' in '1e300' is not a unit of length"),
        (clamps("127 mm", ".nan"), "Q113 error [{at}punch_clamps.height]: '.nan' is not a finite number."),
        (clamps("127 mm", "2 m"), "S130 error [{at}punch_clamps.height]: '2 m' is outside 1 to 1000."),
        (
            clamps("127 mm", "[127]"),
            "S108 error [{at}punch_clamps.height]: One length is wanted here, but a list came.",
        ),
        (clamps("15 mm", "0.01"), "S130 error [{at}punch_clamps.half_depth]: '0.01' is outside 1 to 500."),
        (
            clamps("half_depth: 15 mm, "),
            "S107 error [{at}punch_clamps.half_depth]: The field 'half_depth' of this set of punch",
        ),
        (
            clamps("height: 127 mm, "),
            "S107 error [{at}punch_clamps.height]: The field 'height' of this set of punch clamps",
        ),
        (
            clamps("[{length: 90 mm, count: 12}, {length: 40 mm}]", "[]"),
            "S108 error [{at}punch_clamps.pieces]: At least one clamp is wanted here, but an empty list came.",
        ),
        (
            clamps("[{length: 90 mm, count: 12}, {length: 40 mm}]", "14"),
            "S108 error [{at}punch_clamps.pieces]: A list is wanted here, but '14' came.",
        ),
        (
            clamps("{length: 40 mm}", "90"),
            "S108 error [{at}punch_clamps.pieces[1]]: A group of fields (clamp) is wanted here, but '90' came.",
        ),
        (
            clamps("length: 40 mm", "length: 1 mm"),
            "S130 error [{at}punch_clamps.pieces[1].length]: '1 mm' is outside 5 to",
        ),
        (
            clamps("length: 40 mm", "count: 2"),
            "S107 error [{at}punch_clamps.pieces[1].length]: The field 'length' of this clamp",
        ),
        (
            clamps("count: 12", "count: 1000000000"),
            "S130 error [{at}punch_clamps.pieces[0].count]: '1000000000' is outside 1 to 200.",
        ),
        (
            clamps("count: 12", "count: 1.5"),
            "S130 error [{at}punch_clamps.pieces[0].count]: '1.5' is outside 1 to any whole number.",
        ),
        (
            clamps("count: 12", "count: 0"),
            "Q111 error [{at}punch_clamps.pieces[0].count]: The number '0' is zero, and only more than 0",
        ),
        (
            "punch_clamps: none",
            "S108 error [{at}punch_clamps]: A group of fields (set of punch clamps) is wanted here, ",
        ),
        (
            "punch_held: rail",
            "S109 error [{at}punch_held]: 'rail' is not one of the words allowed here: one_rail, clamps, unknown.",
        ),
        (
            "die_holder_width: 0",
            "Q111 error [{at}die_holder_width]: The length '0' is zero, and only more than 0 makes sense here.",
        ),
        ("die_holder_width: -40", "Q110 error [{at}die_holder_width]: The length '-40' is negative, and only"),
        ("die_holder_width: 40 m", "S130 error [{at}die_holder_width]: '40 m' is outside 5 to 2000."),
        (
            "gauge: {beam_behind: 0}",
            "Q111 error [{at}gauge.beam_behind]: The length '0' is zero, and only more than 0 makes sense here.",
        ),
        ("gauge: {beam_behind: -110}", "Q110 error [{at}gauge.beam_behind]: The length '-110' is negative, and only"),
        ("gauge: {beam_behind: 11 m}", "S130 error [{at}gauge.beam_behind]: '11 m' is outside 1 to 2000."),
        ("gauge: {beam_height: 90}", "S108 error [{at}gauge.beam_height]: A list is wanted here, but '90' came."),
        (
            "gauge: {beam_height: [20, -70]}",
            "S121 error [{at}gauge.beam_height]: A range runs from small to large, but 20",
        ),
        (
            "gauge: {beam_height: [-70, 0, 20]}",
            "S108 error [{at}gauge.beam_height]: A list of two is wanted here, but a",
        ),
        (
            "gauge: {beam_height: [-70 m, 20]}",
            "S130 error [{at}gauge.beam_height[0]]: '-70 m' is outside -2000 to 2000.",
        ),
        ("gauge: {retract: -1}", "Q110 error [{at}gauge.retract]: The length '-1' is negative, and only"),
        ("gauge: {retract: yes}", "Q102 error [{at}gauge.retract]: 'yes' cannot be read as a length."),
        ("gauge: {retract: 100 m}", "S130 error [{at}gauge.retract]: '100 m' is outside 0 to 2000."),
        (
            "gauge: {fingers_apart: [900, 60]}",
            "S121 error [{at}gauge.fingers_apart]: A range runs from small to large, but",
        ),
        (
            "gauge: {fingers_apart: [0, 900]}",
            "Q111 error [{at}gauge.fingers_apart[0]]: The length '0' is zero, and only more than 0 makes sense here.",
        ),
        ("gauge: {finger_contact: -1}", "Q110 error [{at}gauge.finger_contact]: The length '-1' is negative, and only"),
        ("gauge: {fingers_apart: 900}", "S108 error [{at}gauge.fingers_apart]: A list is wanted here, but '900' came."),
        (
            "gauge: {fingers_apart: [60, 90 m]}",
            "S130 error [{at}gauge.fingers_apart[1]]: '90 m' is outside 1 to 20000.",
        ),
    ],
)
def test_refused_fields(line: str, said: str) -> None:
    """Each is refused at its place, with nothing else said."""
    with pytest.raises(ShopFileError) as caught:
        read(line)
    (finding,) = caught.value.findings
    assert str(finding).startswith(said.replace("{at}", AT))
    assert finding.cure


def test_a_slip_of_the_pen_is_named() -> None:
    """A wrong key is missed under its right name, and told the nearest one."""
    with pytest.raises(ShopFileError) as caught:
        read(clamps("half_depth", "half_dept"))
    assert [str(finding) for finding in caught.value.findings] == [
        f"S107 error [{AT}punch_clamps.half_depth]: The field 'half_depth' of this set of punch clamps is missing or blank. Fill it in; "
        "nothing is assumed for it.",
        f"S105 error [{AT}punch_clamps.half_dept]: This set of punch clamps has no field 'half_dept'; it has: half_depth, "
        "height, pieces. Did you mean 'half_depth'?",
    ]


def test_what_fits_is_read_in_the_units_it_came_in() -> None:
    """Five inches are 127 mm; a clamp without a count is one; 0 is a gauge that stays; equal distances are fixed fingers."""
    brake, said = read(
        clamps("127 mm", "5"),
        "die_holder_width: 40 mm",
        "punch_holder_height: 1",
        "gauge: {beam_behind: 110 mm, beam_height: [-70 mm, 20 mm], retract: 0, fingers_apart: [12, 12], finger_contact: 6 mm}",
        header=", length_unit: inch",
    )
    assert said == []
    assert brake.punch_clamps is not None
    assert (brake.punch_clamps.height_mm, brake.punch_held) == (127.0, "clamps")
    assert [(piece.length_mm, piece.count) for piece in brake.punch_clamps.pieces] == [(90.0, 12), (40.0, 1)]
    assert brake.above_punch_mm == pytest.approx(152.4)
    assert brake.die_holder_width_mm == 40.0
    assert (brake.gauge.beam_behind_mm, brake.gauge.beam_height_mm) == (110.0, (-70.0, 20.0))
    assert brake.gauge.retract_mm == 0.0
    assert brake.gauge.fingers_apart_mm == pytest.approx((304.8, 304.8))
    assert brake.gauge.finger_contact_mm == 6.0


def test_unknown_is_listed_and_never_assumed() -> None:
    """All new fields come back blank and missing; what cannot be there is not missed."""
    brake, _ = read("drive: electric")
    assert (brake.punch_clamps, brake.punch_held, brake.die_holder_width_mm) == (None, "unknown", None)
    assert brake.above_punch_mm is None
    gauge = {"gauge.beam_behind_mm", "gauge.beam_height_mm", "gauge.retract_mm", "gauge.fingers_apart_mm"}
    assert {"punch_held", "die_holder_width_mm", *gauge} <= set(brake.missing_fields())
    assert not {"punch_clamps", "gauge.finger_contact_mm"} & set(brake.missing_fields())
    clamped, _ = read("punch_held: clamps", "punch_holder_height: 0", "die_holder_height: 0", "gauge: {fingers: 1}")
    assert "punch_clamps" in clamped.missing_fields()
    assert not {"punch_held", "die_holder_width_mm", "gauge.fingers_apart_mm"} & set(clamped.missing_fields())
    railed, _ = read("punch_held: one_rail", "punch_holder_height: 30")
    assert not {"punch_held", "punch_clamps"} & set(railed.missing_fields())
    assert railed.above_punch_mm == 30.0
    under_unknown, _ = read(clamps())
    assert under_unknown.above_punch_mm is None
    assert replace(under_unknown, punch_holder_height_mm=20.0).above_punch_mm == 147.0


def test_one_rail_and_clamps_contradict_each_other() -> None:
    """S152: both said; the clamps count."""
    brake, said = read("punch_held: one_rail", clamps(), "punch_holder_height: 0")
    assert said == [
        "S152 watch [brakes.yaml:3 brakes[0]]: For M9 punch_held says one_rail, but punch_clamps are given. Take out the "
        "wrong one; until then the clamps count."
    ]
    assert brake.above_punch_mm == 127.0


def test_sizes_that_contradict_each_other() -> None:
    """S129: more clamp than bed, holders higher than the opening, fingers through each other or beyond their travel."""
    gauge = "finger_width: 40, fingers_apart: [39, 1201], z_range: [0, 1200], x_range: [5, 600], retract: 596"
    _, said = read(
        "bed_length: 1119",
        clamps(),
        "open_height: 182",
        "punch_holder_height: 0",
        "die_holder_height: 55",
        f"gauge: {{{gauge}}}",
    )
    start = "S129 watch [brakes.yaml:3 brakes[0]]: For M9 the "
    assert [line.removeprefix(start).split(". Check")[0] for line in said] == [
        "height of holders and clamps (182 mm) is not below the open height (182 mm)",
        "length of all clamps (1120 mm) is not below the bed length (1119 mm)",
        "finger width (40 mm) is not below the least distance of the fingers (39 mm)",
        "largest distance of the fingers (1201 mm) is not below the travel in Z (1200 mm)",
        "way the fingers draw back (596 mm) is not below the travel in X (595 mm)",
    ]
    _, said = read(
        "bed_length: 1120", clamps(), "open_height: 183", "punch_holder_height: 0", "die_holder_height: 55",
        "gauge: {finger_width: 40, fingers_apart: [40, 1200], z_range: [0, 1200], x_range: [5, 600], retract: 595}",
    )  # fmt: skip
    assert said == []


def test_a_curl_meets_the_clamps_before_the_ram(capsys: pytest.CaptureFixture[str]) -> None:
    """W144: on M1 under its ram of half depth 30, on M4 only under clamps of half depth 15: the first such hit of the list."""
    round_bend = ["--radius", "90", "--turned", "170", "--step", "5", "--front", "160", "--back", "60"]
    words = ["curve", "round", "--shop", "saltmarsh", "--material", "S235JR", "--thickness", "2", *round_bend]
    punch = built_in_shop().cabinet.punch("P5")
    body = max(abs(x) for x, _ in punch.outline)
    for brake, half in (("M1", 30.0), ("M4", 15.0)):
        run([*words, "--brake", brake, "--json"])
        told = json.loads(capsys.readouterr().out)
        (finding,) = [item for item in told["findings"] if item["code"] == "W144"]
        under = [
            hit["number"]
            for hit in told["curve"]["hit_list"]
            if hit["number"] * 5.0 > 90.0 and hit["edge_up_mm"] > 200.0 and body <= hit["edge_in_front_mm"] < half
        ]
        assert finding["where"] == f"hit {under[0]}"
        assert finding["sentence"].endswith("above the 200 mm of the punch: the curl comes under the ram.")
