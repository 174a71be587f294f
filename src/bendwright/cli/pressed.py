"""``bendwright bend --method bottom`` or ``coin``: one bend pressed home, in one die or in every die that is sharp enough."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from bendwright.cli.rows import Row, check_table, from_to, number_table, plain, span

if TYPE_CHECKING:
    from bendwright.findings import Finding
    from bendwright.part.model import Bend
    from bendwright.shop.sheet import Sheet
    from bendwright.shop.shop import Shop
    from bendwright.shop.tools import Die, Punch
    from bendwright.stroke.pressed import PressedBend

SAID = {"bottom": "bottomed", "coin": "coined"}


def show_pressed(typed: Mapping[str, Any], dies: Sequence[Die], bend: Bend, sheet: Sheet, shop: Shop) -> int:
    """Print the bend pressed home in each die; loads, angle and radius that come out, cautions."""
    from bendwright.cli.prepare import demo_notes
    from bendwright.cli.show import show_findings, show_json
    from bendwright.findings import OutOfRangeError, found
    from bendwright.said import phrase
    from bendwright.stroke.plastic import overload_findings
    from bendwright.stroke.pressed import press

    brake = shop.brakes[typed["brake"] or next(iter(shop.brakes))]
    bends: list[PressedBend] = []
    refused: list[Finding] = []
    for die in dies:
        try:
            bends.append(
                press(
                    typed["method"],
                    die=die,
                    punch=pressing_punch(shop, typed["punch"], die),
                    included_deg=180.0 - bend.turned_deg,
                    length_mm=bend.end[0],
                    sheet=sheet,
                    practice=shop.practice,
                    brake=brake,
                )
            )
        except OutOfRangeError as error:
            refused += error.findings
    if not bends:
        raise OutOfRangeError(refused)
    warned = [*bends[0].findings, *overload_findings(bends[0].checks)] if typed["die"] else []
    placed = [found("W169", where="--at", said=phrase(SAID[typed["method"]]), at=typed["at"])] if typed["at"] else []
    notes = [*warned, *placed, found("W112", where=typed["method"]), *demo_notes(typed["shop_name"])]
    if typed["as_json"]:
        show_json({"findings": [note.as_dict() for note in notes], "bends": [plain(one) for one in bends]})
        return 0
    click.echo(
        f"{sheet.material.name}, t {sheet.thickness_mm:g} mm, {SAID[typed['method']]}, wanted included "
        f"{180 - bend.turned_deg:g} deg, {bend.end[0]:g} mm long, brake {brake.id}\n"
    )
    click.echo(as_list(bends[0]) if typed["die"] else as_table(bends))
    show_findings(notes)
    return 0


def pressing_punch(shop: Shop, wished: str | None, die: Die) -> Punch:
    """The punch wished; else the one nearest below the die's angle; else the sharpest of the cabinet."""
    from bendwright.shop.tools import NOT_BENDING

    if wished:
        return shop.cabinet.punch(wished)
    bending = [punch for punch in shop.cabinet.punches if punch.kind not in NOT_BENDING]
    fitting = [punch for punch in bending if punch.angle_deg <= die.angle_deg]
    if fitting:
        return max(fitting, key=lambda punch: punch.angle_deg)
    return min(bending, key=lambda punch: punch.angle_deg)


def as_table(bends: Sequence[PressedBend]) -> str:
    """One line a die."""
    from bendwright.cli.show import table

    rows = []
    for one in bends:
        worst = next((check for check in one.checks if check.verdict == one.verdict != "ok"), None)
        rows.append(
            (
                one.die_id,
                one.punch_id,
                span(one.included_deg, 2),
                f"{one.inside_radius_mm:.2f}",
                f"{one.bend_deduction_mm:.3f}",
                f"{one.depth_mm:.2f}",
                span(one.model_kn_per_m),
                span(one.practice_kn_per_m),
                one.verdict,
                worst.name if worst else "",
            )
        )
    head = (
        "die",
        "punch",
        "included deg",
        "R mm",
        "BD mm",
        "depth mm",
        "kN/m model",
        "kN/m rule",
        "verdict",
        "because",
    )
    return table(head, rows)


def as_list(one: PressedBend) -> str:
    """Everything about one die: each number with what says so, then each check with its limit."""
    rows: list[Row] = [
        from_to("included angle left", one.included_deg, "deg", 2),
        ("inside radius", f"{one.inside_radius_mm:.3f}", "mm", "the punch nose"),
        ("K", f"{one.k_factor:.2f}", "", f"common table, {one.method}ing by radius over thickness"),
        ("bend allowance", f"{one.bend_allowance_mm:.3f}", "mm", "turned angle x (R + K t)"),
        ("bend deduction", f"{one.bend_deduction_mm:.3f}", "mm", "2 x set-back - allowance, legs to the mould line"),
        ("depth, flanks touched", f"{one.flanks_touched_mm:.3f}", "mm", "air bend at the die's angle, its own radius"),
        ("depth, pressed home", f"{one.depth_mm:.3f}", "mm", "the same with the nose as radius; from first touch"),
    ]
    if one.penetration_mm is not None:
        rows.append(from_to("nose into the sheet", one.penetration_mm, "mm", 2))
    rows += [
        (
            "line load, flanks touched",
            f"{one.touch_kn_per_m:.0f}",
            "kN/m",
            "one hinge at the air bend's radius (derived)",
        ),
        from_to("line load, model", one.model_kn_per_m, "kN/m"),
        from_to("line load, rule of thumb", one.practice_kn_per_m, "kN/m"),
        ("force", span(one.force_kn), "kN", "the wider of both x length"),
        ("moment of the sheet", "", "", one.moment_source),
    ]
    title = f"Die {one.die_id}, punch {one.punch_id}: {one.verdict}"
    return f"{title}\n\n{number_table(rows)}\n\n{check_table(one.checks)}"
