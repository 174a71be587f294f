"""What the planner says against a part: each with its exact finding."""

from __future__ import annotations

from dataclasses import replace

import pytest
from asked import plan, refused, sentences

from bendwright.job import Wishes, prepare
from bendwright.part.model import Bend, Flange, Header, Part, ZonePiece
from shop_talk import SHOP, example, of_code, panel, profile, sheet


def test_too_many_bends() -> None:
    """O103: the search ends at forty."""
    (finding,) = refused(lambda: plan(profile("40 " + "u5 40 d5 40 " * 21 + "x 100")))
    assert finding.code == "O103"
    assert finding.sentence == "The part has 42 bends; orders are searched up to 40."


@pytest.mark.parametrize("bump", ["b9", "b1=1", "b1=", "=5", "b1=5=6", ""])
def test_bumps_nobody_understands(bump: str) -> None:
    """O123: what came, the bends there are."""
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=(bump,))))
    assert finding.code == "O123"
    assert finding.sentence == f"'{bump}' does not say which bend is made hit by hit; the part has b1."


def test_a_bend_bumped_twice() -> None:
    """O123: each bend once."""
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=("b1", "b1=5"))))
    assert (finding.code, finding.sentence[:6]) == ("O123", "'b1=5'")


def test_more_hits_than_can_be_searched() -> None:
    """O124: with what coarser facets it can."""
    hood = example("weather_hood")
    (finding,) = refused(lambda: plan(hood, wishes=Wishes(bumps=("b1=45",))))
    assert finding.code == "O124"
    assert finding.sentence.startswith(
        "45 hits for bend b1 are too many: with the part's other bends orders are searched up to 40"
    )
    assert finding.cure.startswith("Take coarser facets: 40 hits leave them 0.029 mm off the circle")


def test_facets_too_fine_for_the_dies() -> None:
    """M113: V10 is the narrowest of 5 t; a bend without radius (M110) and a hem (M111) are not divided either."""
    hood = example("weather_hood")
    (finding,) = refused(lambda: plan(hood, wishes=Wishes(bumps=("b1=0.005mm",))))
    assert finding.code == "M113"
    assert "need 97 hits; the die of 10 mm allows 47" in finding.sentence
    (finding,) = refused(lambda: plan(profile("60 u90 60 x 100"), wishes=Wishes(bumps=("b1",))))
    assert finding.code == "M110"


def test_bumped_is_said() -> None:
    """O122: how many hits, why, what the facets do."""
    made = plan(example("weather_hood"), wishes=Wishes(brake_id="M1", die_id="V20", bumps=("b1=12",)))
    (finding,) = of_code(made.findings, "O122")
    assert finding.sentence == (
        "Bend b1, inside radius 150 mm, is made hit by hit (as asked): 12 hits of 7.50 degrees, b1.1 to b1.12, "
        "19.77 mm apart on the sheet; the facets stand 0.325 mm off the circle."
    )


def test_no_bends() -> None:
    """O109: a flat plate needs no plan."""
    (finding,) = refused(lambda: plan(panel("panel:\n  base: {width: 100, depth: 50}\n")))
    assert (finding.code, finding.sentence) == ("O109", "The part has no bends.")


def test_flange_without_flat() -> None:
    """M101: two set-backs of 2.56 + 2 in a flange of 6; said once, for the part's flange, not for every bend."""
    findings = refused(lambda: plan(profile("60 u90 6 u90 60 x 100"), wishes=Wishes(brake_id="M1", die_id="V16")))
    assert [finding.code for finding in findings] == ["M101"]
    assert sentences(findings) == [
        "Flange leg2 (6.0 mm) has no flat left: bends b1, b2 beside it take 9.1 mm together."
    ]


def test_edge_eaten_up_by_a_neighbour() -> None:
    """M106: a flange that hangs only where the neighbouring bend takes its edge."""
    base = Flange(id="base", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    small = Flange(id="left", outline=((0.0, 0.0), (3.0, 0.0), (3.0, 40.0), (0.0, 40.0)))
    front = Flange(id="front", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)))
    bends = (
        Bend(
            id="b1", parent="base", child="front", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up"
        ),
        Bend(id="b2", parent="base", child="left", start=(0.0, 3.0), end=(0.0, 0.0), turned_deg=90.0, direction="up"),
    )
    part = Part(header=Header(part_no="T-4", revision="A"), flanges=(base, front, small), bends=bends)
    (finding,) = refused(lambda: plan(part, wishes=Wishes(brake_id="M1", die_id="V16")))
    assert (finding.code, finding.sentence) == (
        "M106",
        "Bend b2 has no material: neighbouring bends or notches take the whole edge between flanges base and left.",
    )


def test_flange_that_falls_into_pieces() -> None:
    """M114: a notch ends 3 mm from the bend line, drawn with 1 mm radius; the die's own radius takes 4.56 mm and would leave two tabs."""
    notched = (
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (55.0, 40.0),
        (55.0, 3.0),
        (45.0, 3.0),
        (45.0, 40.0),
        (0.0, 40.0),
    )
    base = Flange(id="base", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)))
    bend = Bend(
        id="b1",
        parent="base",
        child="lid",
        start=(0.0, 0.0),
        end=(100.0, 0.0),
        turned_deg=90.0,
        direction="up",
        drawn_radius_mm=1.0,
        zone=(ZonePiece(outline=((0.0, 0.0), (100.0, 0.0), (100.0, 1.0), (0.0, 1.0))),),
    )
    header = Header(part_no="T-5", revision="A", thickness_mm=1.5)
    part = Part(header=header, flanges=(base, Flange(id="lid", outline=notched)), bends=(bend,))
    (finding,) = refused(lambda: plan(part, wishes=Wishes(brake_id="M1", die_id="V16")))
    assert (finding.code, finding.sentence) == (
        "M114",
        "Flange lid falls into 2 pieces: bend b1 takes 4.56 mm of it, and a notch or opening reaches that far.",
    )
    shallower = replace(part.flanges[1], outline=tuple((x, 6.0 if y == 3.0 else y) for x, y in notched))
    assert plan(replace(part, flanges=(base, shallower)), wishes=Wishes(brake_id="M1", die_id="V16")).plan.strokes


def test_part_that_runs_into_itself() -> None:
    """M105 is said once, before any brake: two returns of 30 in a base of 50 lie 10 over each other; less 10.1 they lie apart."""
    findings = refused(lambda: prepare(profile("30 u90 40 u90 50 u90 40 u90 30 x 400"), sheet("DC01", "1.5"), SHOP))
    assert [finding.code for finding in findings] == ["M105"]
    assert findings[0].sentence == (
        "The finished part runs into itself: flanges leg1 and leg5 overlap by 10.00 mm (200.0, 173.7 on the blank)."
    )
    assert findings[0].cure == (
        "Cut 10.10 x 400.0 mm off flange leg5 there, which leaves 0.1 mm between them, or change an angle; "
        "no tool or order can make the part as drawn."
    )
    shorter = profile("30 u90 40 u90 50 u90 40 u90 19.9 x 400")
    assert "M105" not in {finding.code for finding in refused(lambda: prepare(shorter, sheet("DC01", "1.5"), SHOP))}


def test_blank_that_overlaps_itself() -> None:
    """M103: two wide flanges on neighbouring edges lie over each other in the flat: 40 x 40 mm, less what the bends take."""
    wide = ((-40.0, 0.0), (140.0, 0.0), (140.0, 40.0), (-40.0, 40.0))
    base = Flange(id="base", outline=((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)))
    bends = (
        Bend(
            id="b1", parent="base", child="front", start=(0.0, 0.0), end=(100.0, 0.0), turned_deg=90.0, direction="up"
        ),
        Bend(id="b2", parent="base", child="left", start=(0.0, 100.0), end=(0.0, 0.0), turned_deg=90.0, direction="up"),
    )
    flanges = (base, Flange(id="front", outline=wide), Flange(id="left", outline=wide))
    part = Part(header=Header(part_no="T-3", revision="A"), flanges=flanges, bends=bends)
    findings = refused(lambda: plan(part))
    assert [finding.code for finding in findings] == ["M103"]
    assert findings[0].sentence.startswith("The blank overlaps itself by ")


def test_holes_near_a_bend() -> None:
    """M102 and M104 on the stair tread: 2.38 mm clear, and within half of V32."""
    done = plan(example("stair_tread"), thickness="4")
    first = of_code(done.findings, "M102")[0]
    assert first.sentence == (
        "The circle (one of 2 alike) of flange front leaves 2.38 mm (0.6 t) of clear sheet to the tangent of bend b1; "
        "the rule is 2 t."
    )
    assert first.cure == (
        "Move its centre to 23.62 mm or more from the outside of the bend, cut it after bending, or accept it oval."
    )
    assert of_code(done.findings, "M104")[0].sentence == (
        "The edge of the circle (one of 2 alike) of flange front is 7.72 mm from bend line b1, inside half the die "
        "opening (16.0 mm)."
    )
