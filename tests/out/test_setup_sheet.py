"""The setup sheet: one page where promised, everything the setter needs, the same bytes each time."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from sample_blank import tray_blank
from sample_plan import channel_plan, moved_numbers, with_strokes

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.findings import Finding, InputError, Severity
from bendwright.plan.result import Plan
from bendwright.sheets.plan_mark import plan_code_svg, plan_mark
from bendwright.sheets.plan_words import NEVER_REPLACES
from bendwright.sheets.setup_content import Room, setup_content
from bendwright.sheets.setup_sheet import PAPERS, ROOMS, setup_sheet_pdf

PLAN = channel_plan()
SIZES = {"a4": (595.276, 841.89), "letter": (612.0, 792.0)}
"""Points: A4 is 210 x 297 mm, Letter 8.5 x 11 in, 72 points to the inch."""


def pages(pdf: bytes) -> int:
    """Number of pages a PDF states."""
    return int(re.findall(rb"/Count (\d+)", pdf)[0])


def page_box(pdf: bytes) -> list[float]:
    """Corners of the first page in points."""
    return [float(number) for number in re.findall(rb"/MediaBox ?\[([^\]]*)\]", pdf)[0].split()]


def content(plan: Plan, room: Room = ROOMS[0], *, with_reasons: bool = False) -> dict[str, Any]:
    """What the template gets."""
    return setup_content(plan, moved_numbers(), width_mm=178.0, room=room, with_reasons=with_reasons)


@pytest.mark.origin("practice", "one page for up to eight bends on A4 and on Letter is the rule of this sheet")
@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [1, 4, 5, 8])
def test_one_page_up_to_eight(paper: Any, count: int) -> None:
    """Up to eight strokes stand on one page of the right size."""
    pdf = setup_sheet_pdf(with_strokes(PLAN, count), moved_numbers(), paper=paper)
    assert pages(pdf) == 1
    assert page_box(pdf) == pytest.approx([0.0, 0.0, *SIZES[paper]], abs=0.01)


@pytest.mark.origin("practice", "more than eight bends take more pages")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_more_pages_beyond_eight(paper: Any) -> None:
    """Twelve strokes need more than one page; a sheet with reasons needs one more than without."""
    assert pages(setup_sheet_pdf(with_strokes(PLAN, 12), (), paper=paper)) > 1
    assert pages(setup_sheet_pdf(PLAN, (), paper=paper, reasons=True)) == 2


@pytest.mark.origin("law", "the same plan gives the same bytes, another plan others")
def test_same_bytes() -> None:
    """No time stamp or chance is in the PDF."""
    assert setup_sheet_pdf(PLAN, moved_numbers()) == setup_sheet_pdf(PLAN, moved_numbers())
    assert setup_sheet_pdf(PLAN, ()) != setup_sheet_pdf(replace(PLAN, quantity=201), ())


@pytest.mark.origin("law", "the finding's own text")
def test_other_paper() -> None:
    """Other papers are refused in words."""
    with pytest.raises(InputError) as caught:
        setup_sheet_pdf(PLAN, (), paper="a5")  # type: ignore[arg-type]
    assert (
        str(caught.value) == "D109 error [paper]: The paper is 'a5'; allowed are a4 and letter. Choose one of the two."
    )


@pytest.mark.origin("law", "any plan that can be stated can be printed")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_awkward_plans_print(paper: Any) -> None:
    """Texts that look like markup, empty lists, unknown numbers, watch and stop verdicts, hems, strokes by eye."""
    first, second, third, fourth = PLAN.strokes
    awkward = replace(
        PLAN,
        header=replace(
            PLAN.header,
            part_no='#panic("x") $a$',
            revision="*_",
            title="<b> & \\ `x` 中",
            drawing_unit="inch",
            notes=(),
        ),
        sheet=replace(PLAN.sheet, measured=False, batch="", film_mm=0.08),
        strokes=(
            replace(first, gauging=replace(first.gauging, kind="none", fingers_z_mm=(), takes_error="")),
            replace(second, kind="hem_flatten", loads=(), direction="down"),
            replace(third, clearance=replace(third.clearance, mm=-0.99, verdict="no")),
            replace(
                fourth,
                clearance=replace(fourth.clearance, verdict="watch"),
                loads=(replace(fourth.loads[0], verdict="no"), replace(fourth.loads[1], limit=None, verdict="watch")),
                gauging=replace(fourth.gauging, verdict="watch"),
                handling=replace(fourth.handling, flip=True, turn_deg=-90.0),
            ),
        ),
        stations=(replace(PLAN.stations[0], punch_pieces=(), punch_turned=True),),
        tool_choices=(),
        refused=(),
    )
    assert pages(setup_sheet_pdf(awkward, (), paper=paper)) == 1
    bare = replace(PLAN, strokes=(), stations=(), cautions=(), findings=())
    assert pages(setup_sheet_pdf(bare, (), paper=paper, reasons=True)) == 2


@pytest.mark.origin("law", "the card repeats the plan's numbers")
def test_card_numbers() -> None:
    """Each card holds X, R, depth, both angles, force with share of the limit, clearance, gauging and error."""
    card = content(PLAN)["strokes"][3]
    assert {key: card[key] for key in ("number", "bend", "x", "r", "depth", "target", "loaded")} == {
        "number": "4",
        "bend": "B2",
        "x": "38.11",
        "r": "0.5",
        "depth": "6.058",
        "target": "90.0",
        "loaded": "89.0",
    }
    assert card["clear"] == "clear 10.7 mm OK"
    assert card["at"] == "at outside face of lip_a"
    assert card["error"] == "error goes to base"
    assert card["do"] == "stn 1: turn end for end"
    assert card["z"] == "Z 1100 / 2000"


@pytest.mark.origin("derived", "154 kN/m of the punch's 600 = 25.7 %, more than 18.5, 24.0 and 15.4 %")
def test_card_shows_the_hardest_limit() -> None:
    """The share printed is the one of the limit that is nearest."""
    assert content(PLAN)["strokes"][0]["load"] == "164–185 kN, 26 % of limit"


@pytest.mark.origin("law", "states are said in words, with a shape")
def test_states_in_words() -> None:
    """A watch and a clash are words on the card, not colours."""
    stroke = PLAN.strokes[0]
    check = replace(stroke.checks[0], value=10.9, verdict="watch")
    stroke = replace(stroke, checks=(check,), clearance=replace(stroke.clearance, mm=-0.99, verdict="no"))
    card = content(replace(PLAN, strokes=(stroke,)))["strokes"][0]
    assert card["clear"] == "clear -1.0 mm × STOP"
    assert card["flagged"] == ["△ WATCH shortest flange 10.9 against 11.3 mm"]
    assert ">clash</text>" in card["picture"]


@pytest.mark.origin("law", "each caution once, with its strokes; the fixed sentence is on every sheet")
def test_cautions() -> None:
    """The plan's, the strokes' and the findings' cautions, then the fixed sentence."""
    data = content(PLAN)
    assert data["cautions"] == [
        "Sheet corners are sharp: gloves.",
        "Strokes 1, 2: long sheet in front: both hands at the ends, away from the die",
        "Nothing else may hang on the ram or stand on the bed.",
    ]
    assert data["mind"] == ["Hole near bend B2 may go oval. Check it after the first piece."]
    assert data["never"] == NEVER_REPLACES


@pytest.mark.origin("law", "what else to mind: in full, in brief or apart, and the sheet says which")
def test_findings_in_less_room() -> None:
    """In brief the advice goes, apart all of them stand on a page of their own and the box counts them."""
    full, brief, apart = (replace(ROOMS[0], findings=how) for how in ("full", "brief", "apart"))
    assert content(PLAN, full)["mind"] == ["Hole near bend B2 may go oval. Check it after the first piece."]
    assert content(PLAN, full)["apart"] is None
    assert content(PLAN, brief)["mind"] == ["Hole near bend B2 may go oval."]
    assert content(PLAN, brief)["apart"] is None
    data = content(PLAN, apart)
    assert data["mind"] == ["1 more point to mind on the page after the strokes."]
    assert data["apart"]["findings"] == content(PLAN, full)["mind"]
    assert data["apart"]["moved"] == data["moved"]
    assert content(PLAN, brief, with_reasons=True)["apart"]["findings"] == content(PLAN, full)["mind"]
    assert content(replace(PLAN, findings=()), apart)["apart"] is None


@pytest.mark.origin(
    "law", "a check whose figures a finding tells is named on the card, any other stands with its figures"
)
def test_checks_told_above_are_named_only() -> None:
    """Two checks to watch, one of them told by a finding."""
    stroke = PLAN.strokes[0]
    told = replace(stroke.checks[0], name="least force", value=6.08, limit=8.0, unit="kN", verdict="watch")
    other = replace(stroke.checks[0], value=10.9, verdict="watch")
    finding = Finding("K102", Severity.WATCH, "least force 6.08 kN against 8.00 kN: a rule (x).", "bends B1", "Decide.")
    plan = replace(PLAN, strokes=(replace(stroke, checks=(told, other)),), findings=(finding,))
    assert content(plan)["strokes"][0]["flagged"] == [
        "△ WATCH shortest flange 10.9 against 11.3 mm",
        "△ WATCH least force",
    ]
    apart = content(plan, replace(ROOMS[0], findings="apart"))["strokes"][0]["flagged"]
    assert apart[0] == "△ WATCH least force 6.08 against 8 kN"


@pytest.mark.origin("law", "without a gauge there is no X and no R, never a number or a word in their place")
def test_no_gauge() -> None:
    """The card says how the sheet is laid in instead, and names no flange that would take an error."""
    stroke = replace(PLAN.strokes[0], gauging=replace(PLAN.strokes[0].gauging, kind="none", at="laid in by eye"))
    card = content(replace(PLAN, strokes=(stroke,)))["strokes"][0]
    assert (card["x"], card["r"], card["error"], card["leg"]) == (None, None, "", "")
    assert card["at"] == "no gauge: laid in by eye"


@pytest.mark.origin("derived", "aimed sizes 15 and 40 of the fixture's legs, held at bends b1 and b2")
def test_leg_held_by_the_stroke() -> None:
    """The cell for the leg says which size the stroke is to hold."""
    strokes = tuple(
        replace(stroke, bend_id=name) for stroke, name in zip(PLAN.strokes, ("b1", "b2", "x"), strict=False)
    )
    assert [card["leg"] for card in content(replace(PLAN, strokes=strokes))["strokes"]] == ["15.00", "40.00", ""]


@pytest.mark.origin("law", "a limit from below is no share of strength")
def test_least_force_is_no_share() -> None:
    """A least force stands among the checks and does not count as a load."""
    stroke = PLAN.strokes[0]
    least = replace(stroke.checks[0], name="least force", value=164.0, limit=20.0, unit="kN")
    card = content(replace(PLAN, strokes=(replace(stroke, checks=(*stroke.checks, least)),)))["strokes"][0]
    assert card["load"] == "164–185 kN, 26 % of limit"


@pytest.mark.origin("derived", "950 + 1200 = 2150; a punch stack of its first piece, 835, over a die stack of 1200")
def test_tightest_room_writes_the_places() -> None:
    """Where the sketch of the stations has no room, their places are words."""
    data = content(PLAN, ROOMS[-1])
    assert data["stations"] is None
    assert data["places"] == ["station 1 at 950 … 2150"]
    station = replace(
        PLAN.stations[0], number=2, set_up=2, left_end_z_mm=0.0, punch_pieces=PLAN.stations[0].punch_pieces[:1]
    )
    two = content(replace(PLAN, stations=(PLAN.stations[0], station)), ROOMS[-1])["places"]
    assert two == ["set-up 1: station 1 at 950 … 2150", "set-up 2: station 2 at 0 … 835, die … 1200"]


@pytest.mark.origin("practice", "one page for up to eight bends, also with many cautions")
@pytest.mark.parametrize(("paper", "lines"), [("a4", 6), ("letter", 3)])
def test_eight_strokes_with_many_cautions(paper: Any, lines: int) -> None:
    """Some more lines of cautions still leave one page: the sketch of the stations gives way to words."""
    text = "a caution that is about as long as the line it has to stand on, as many of them are."
    long = tuple(f"{i}: {text}" for i in range(lines))
    plan = replace(with_strokes(PLAN, 8), cautions=long)
    assert pages(setup_sheet_pdf(plan, moved_numbers(), paper=paper)) == 1


@pytest.mark.origin("derived", "835 + 300 + 50 + 15 = 1200, the length of the station")
def test_pick_list() -> None:
    """The pieces of punch and die with their places; their sum is the station's length."""
    assert content(PLAN)["picks"] == [
        ["1", "punch P1", "835 solid + 300 + 50 + 15", "1200", "rack A1, rack A2"],
        ["1", "die V16", "835 solid + 300 + 50 + 15", "1200", "rack D1, rack D2"],
    ]


@pytest.mark.origin("derived", "174.88 / 25.4 = 6.885 in, 1200 / 25.4 = 47.244 in; 175.02 - 174.88 = 0.14")
def test_facts_and_moved() -> None:
    """An inch drawing gets its blank in inches too; the moved numbers carry sign and unit."""
    data = content(replace(PLAN, header=replace(PLAN.header, drawing_unit="inch")))
    assert ["Blank", "174.88 × 1200.00 mm (6.885 in × 47.244 in), 3.27 kg"] in data["facts"]
    assert data["moved"][0] == ["blank width [mm]", "174.88", "175.02", "+0.14"]
    assert data["moved"][3] == ["B1 depth [mm]", "6.058", "6.101", "+0.043"]
    assert data["moved"][4] == ["B1 force, upper [kN]", "185.00", "176.20", "-8.80"]


@pytest.mark.origin("practice", "10 point for the floor: 10 x 25.4 / 72 = 3.53 mm; key numbers 14 point or more")
def test_no_small_print() -> None:
    """No picture on the sheet has letters below 10 points, whatever the room."""
    for room in ROOMS:
        for plan in (PLAN, replace(PLAN, blank=tray_blank())):
            data = content(plan, room)
            pictures = [data["blank"], data["stations"] or "", *(card["picture"] or "" for card in data["strokes"])]
            pictures += [card["icon"] for card in data["strokes"]]
            sizes = [float(size) for svg in pictures for size in re.findall(r'font-size="([0-9.]+)"', svg)]
            assert sizes
            assert min(sizes) >= 3.53


@pytest.mark.origin("law", "pictures fit the width they get")
@pytest.mark.parametrize("paper", list(PAPERS))
def test_pictures_fit(paper: str) -> None:
    """Blank and stations are never wider than the text."""
    width = PAPERS[paper][1]
    for room in ROOMS:
        data = setup_content(PLAN, (), width_mm=width, room=room, with_reasons=False)
        for svg in filter(None, (data["blank"], data["stations"])):
            found = re.match(r'<svg [^>]*width="([0-9.]+)mm"', svg)
            assert found
            assert float(found[1]) <= width + 0.01


@pytest.mark.origin("law", "the mark names the plan's content, not the day")
def test_plan_mark() -> None:
    """Same content, same mark; any change, another mark; the code carries part, revision and mark."""
    mark = plan_mark(PLAN)
    assert re.fullmatch(r"[0-9a-f]{4}(-[0-9a-f]{4}){2}", mark)
    assert plan_mark(replace(PLAN, made_on="2031-01-01")) == mark
    assert plan_mark(replace(PLAN, mass_kg=PLAN.mass_kg + 1e-9)) != mark
    assert plan_code_svg(PLAN) == plan_code_svg(channel_plan())
    assert plan_code_svg(PLAN) != plan_code_svg(replace(PLAN, header=replace(PLAN.header, revision="D")))


@pytest.mark.origin("law", "a plan read back from its file is the same plan")
def test_mark_survives_the_file() -> None:
    """The mark on paper can be checked against the plan file, even where a whole number was written as a float."""
    assert plan_mark(plan_from_json(plan_to_json(PLAN))) == plan_mark(PLAN)


@pytest.mark.origin("law", "the appendix repeats every check with rule and source")
def test_reasons() -> None:
    """Every die looked at, every check and every refused order is there."""
    why = content(PLAN, with_reasons=True)["reasons"]
    assert len(why["checks"]) == sum(len(s.loads) + len(s.checks) for s in PLAN.strokes)
    assert why["checks"][2] == [
        "1",
        "line load, punch",
        "154",
        "600",
        "kN/m",
        "26 %",
        "ok",
        "stamped limit of the punch (shop file)",
    ]
    assert [row[3] for row in why["dies"]] == ["taken", "possible", "refused"]
    assert why["why"] == ["Strokes 1–4: lips before walls: a standing wall would meet the punch by 28.3 mm"]
    assert why["refused"] == ["Walls before lips: at bend B1 the base stands in the punch. (-28.3 mm)"]
    assert why["search"] == (
        "61 states searched; least cycle time proven 128.0 s; no cheaper order exists among the candidates"
    )
