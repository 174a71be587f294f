"""Cures put into the job they were found for, or into the shop: with that the main job makes the part it refused before."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from cured import ALUMINIUM, LONG_S, TRAY, TRAY_TOOLS, box, looked, of_kind, solves, tooling, tray, two_tabs

from bendwright.findings import NotPossibleError
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.applied import Applied, applied
from bendwright.plan.cures.look import cures_of
from bendwright.plan.cures.of_refusal import CurableError
from bendwright.plan.cures.records import Clue, Cures
from bendwright.plan.cures.tool_changes import with_contact
from bendwright.shop.edit_record import record_file
from bendwright.shop.read import built_in_shop_folder, read_shop
from bendwright.shop.record_words import words_of
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Piece
from bendwright.wanted.shop_edit import put_record
from shop_talk import SHOP, profile, sheet, shop_with

WISHED = Wishes(brake_id="M1", die_id="V12", punch_id="P1")
ZINC = sheet("DX51D+Z", "1.5", "1.50")
THIN = sheet("DC01", "1", "1.00")


def told(part: Part, tools: Tooling, cures: Cures, kind: str) -> list[Applied]:
    """The cures of one kind as changes of the job."""
    return [applied(cure, tools, drawn=part, bent=part) for cure in cures.cures if cure.kind == kind]


def wished(wishes: Wishes, change: Mapping[str, str | int | None]) -> Wishes:
    """The wishes with a cure's in place of some."""
    names = {"brake": "brake_id", "die": "die_id", "punch": "punch_id", "set_ups": "set_ups"}
    return replace(wishes, **{names[name]: value for name, value in change.items()})  # type: ignore[arg-type]


def made(part: Part, shop: Shop, wishes: Wishes, used: object = ZINC) -> Prepared:
    """What the main job makes, with nothing wrong in it."""
    prepared = prepare(part, used, shop, wishes)  # type: ignore[arg-type]
    assert not [finding for finding in prepared.findings if finding.severity == "error"]
    return prepared


def own_shop(folder: Path, cure: Applied) -> Shop:
    """A copy of the demo shop with what a cure wants put in, as its forms do it."""
    shutil.copytree(built_in_shop_folder(), folder, dirs_exist_ok=True)
    for change in cure.shop:
        words = words_of(change.kind, record_file(folder, change.kind).records[change.id])
        fields = {key: text for key, text in {**words.fields, **change.fields}.items() if text}
        name = fields["id"]
        put_record(folder, change.kind, name, replace(words, fields=fields, rows=(*words.rows, *change.rows)))
    return read_shop(folder)


@pytest.mark.origin("law", "a cure that is a wish makes the job that was refused")
def test_another_punch_is_a_wish() -> None:
    """The narrow channel: refused with P1, made with the gooseneck that is told."""
    with pytest.raises(NotPossibleError):
        prepare(TRAY, ZINC, SHOP, WISHED)
    (cure,) = told(TRAY, TRAY_TOOLS, tray(), "other_punch")
    assert (cure.wishes, cure.part, cure.shop) == ({"punch": "P2"}, None, ())
    assert {stroke.punch_id for stroke in made(TRAY, SHOP, wished(WISHED, cure.wishes or {})).plan.strokes} == {"P2"}


@pytest.mark.origin(
    "law", "a cure that is a size gives a part that is made with the same wishes, and says in what it is not as drawn"
)
def test_another_size_is_another_part() -> None:
    """Every size told for the narrow channel; all else of the part stays."""
    cures = told(TRAY, TRAY_TOOLS, tray(), "flange_length")
    assert cures
    for cure in cures:
        assert cure.part is not None
        assert cure.part.header.notes[-1].startswith("Not as drawn: ")
        assert f"{cure.after:.2f} mm" in cure.part.header.notes[-1]
        assert replace(cure.part, header=TRAY.header, flanges=(), bends=()) == replace(TRAY, flanges=(), bends=())
        made(cure.part, SHOP, WISHED)


@pytest.mark.origin("law", "a part divided into hits is not the part of the drawing")
def test_a_part_made_hit_by_hit_is_changed_by_hand() -> None:
    """Nothing is offered that would make hits of what is drawn as one radius."""
    cure = next(cure for cure in tray().cures if cure.kind == "flange_length")
    drawn = replace(TRAY, bends=TRAY.bends[:1])
    assert applied(cure, TRAY_TOOLS, drawn=drawn, bent=TRAY).part is None


@pytest.mark.origin("law", "a punch that is got and typed in is one the job can be made with")
def test_a_slimmer_punch_is_a_form_filled_in(tmp_path: Path) -> None:
    """A new punch like P1, its half width filled in; put into the shop, the channel is made with it."""
    cure = next(one for one in told(TRAY, TRAY_TOOLS, tray(), "buy_punch") if "body at most" in one.sentence)
    (change,) = cure.shop
    assert (change.kind, change.id, change.like) == ("punches", "P1", True)
    assert change.fields["shape.half_width"] == f"{cure.after:g} mm"
    made(TRAY, own_shop(tmp_path, cure), replace(WISHED, punch_id=change.fields["id"]))


@cache
def tabs() -> tuple[Shop, Tooling, Cures]:
    """Two tabs, and a punch whose pieces cannot hang in both stacks at once."""
    few = tuple(Piece(length_mm=length) for length in (100.0, 60.0, 20.0))
    punch = replace(SHOP.cabinet.punch("P1"), pieces=few)
    tools = replace(tooling(THIN, die="V8", punches="P1"), punches=(punch,))
    return shop_with(punches=(punch,)), tools, looked(two_tabs(), tools, most=260)


@pytest.mark.origin("law", "two set-ups hang the same pieces one after the other, and the replay finds nothing wrong")
def test_two_set_ups_are_a_wish() -> None:
    """The tabs that no set of stations holds: made in two, each with its own stack; a second set-up is no cure of itself."""
    shop, tools, cures = tabs()
    (cure,) = told(two_tabs(), tools, cures, "two_set_ups")
    assert cure.wishes == {"set_ups": 2}
    wishes = Wishes(brake_id="M1", die_id="V8", cure_seconds=1.0)
    plan = made(two_tabs(), shop, wished(wishes, cure.wishes), THIN).plan
    assert sorted((one.set_up, one.length_mm) for one in plan.stations) == [(1, 120.0), (2, 160.0)]
    long = profile("40 u90 30 x 2400")
    with pytest.raises(CurableError) as caught:
        prepare(long, THIN, shop, replace(wishes, set_ups=2, cure_seconds=5.0))
    assert "two_set_ups" not in {one.kind for one in caught.value.cures}
    assert not [one.sentence for one in caught.value.cures if "second set-up" in one.sentence]


@pytest.mark.origin("law", "a piece that is got is a row more of its tool")
def test_a_piece_is_a_row_of_its_tool() -> None:
    """As many millimetres as told, and no other field."""
    _, tools, cures = tabs()
    (cure,) = told(two_tabs(), tools, cures, "buy_piece")
    (change,) = cure.shop
    assert (change.kind, change.id, change.like, change.fields) == ("punches", "P1", False, {})
    assert change.rows == ({"length": f"{cure.after:g} mm", "count": "1"},)


@pytest.mark.origin("law", "what a brake's form is filled with is the brake the cure was solved with")
def test_clamps_and_contact_are_fields_of_the_brake(tmp_path: Path) -> None:
    """Clamps with gaps, and less contact at the fingers."""

    def clamped(_: Part, tools: Tooling) -> bool:
        return tools.brake.punch_clamps is not None and tools.brake.punch_clamps.height_mm >= 40.0

    clues = (Clue(against="machine", mm=5.0),)
    cures = cures_of(TRAY, TRAY_TOOLS, solves=clamped, seconds=LONG_S, clues=clues)
    (cure,) = told(TRAY, TRAY_TOOLS, cures, "clamp_gap")
    brake = own_shop(tmp_path / "clamps", cure).brakes["M1"]
    wanted = next(one for one in cures.cures if one.kind == "clamp_gap").tooling.brake
    assert (brake.punch_held, brake.punch_clamps) == ("clamps", wanted.punch_clamps)
    narrow, tools = profile("60 u90 30 x 6"), tooling(sheet("DC01", "1.5"), die="V12", punches="P1")
    (less,) = told(narrow, tools, looked(narrow, tools, most=4), "finger_contact")
    shop = own_shop(tmp_path / "contact", less)
    assert shop.brakes["M1"].gauge.finger_contact_mm == 6.0
    assert solves(narrow, with_contact(tools, 6.0))
    made(narrow, shop, WISHED, sheet("DC01", "1.5"))


@pytest.mark.origin("law", "a taller punch is like the old one but for its height")
def test_a_taller_punch_is_a_form_filled_in() -> None:
    """The box deeper than its punch."""
    cures = looked(box(66.0), ALUMINIUM, most=170)
    cure = next(one for one in told(box(66.0), ALUMINIUM, cures, "buy_punch") if "mm high" in one.sentence)
    (change,) = cure.shop
    assert change.like
    assert (change.id, change.fields["height"]) == ("P1", f"{cure.after:g} mm")
    assert not of_kind(cures, "other_brake") or all(
        one.wishes for one in told(box(66.0), ALUMINIUM, cures, "other_brake")
    )


@pytest.mark.origin("law", "cures are looked for when they are asked for, and come with the refusal")
def test_a_refusal_carries_its_cures() -> None:
    """As many as its findings tell, in their order; none without time to look."""
    with pytest.raises(CurableError) as caught:
        prepare(TRAY, ZINC, SHOP, replace(WISHED, cure_seconds=20.0))
    said = [finding for finding in caught.value.findings if finding.code == "O150"]
    assert [cure.sentence in finding.sentence for cure, finding in zip(caught.value.cures, said, strict=True)] == [
        True
    ] * len(said)
    with pytest.raises(NotPossibleError) as bare:
        prepare(TRAY, ZINC, SHOP, WISHED)
    assert not isinstance(bare.value, CurableError)
