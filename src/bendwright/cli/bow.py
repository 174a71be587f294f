"""``bendwright shop bow``: from test bends read at left, centre and right to how much a brake bows."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from bendwright.cli.inputs import JSON, SHOP, options
from bendwright.wanted.job_words import read_shop_named

if TYPE_CHECKING:
    from bendwright.shop.brake_bow import BowCalibration
    from bendwright.trial.bow_calibration import Calibrated, TestBend

WORDS = ("at", "load", "per_degree", "angles", "crown")
TESTS = (
    click.argument("brake_id", metavar="BRAKE"),
    click.option(
        "--test",
        "tests",
        metavar="WORDS",
        multiple=True,
        required=True,
        help='One test bend: "at=300-2700 load=240kN/m per_degree=0.076 angles=90.0/91.2/90.1 crown=0".',
    ),
    click.option("--shear-share", metavar="SHARE", help="Shear share of the bow, when the plates are not known."),
    click.option("--supports", metavar="FROM-TO", help="Where the bed is held, when the plates are not known."),
    click.option("--date", "measured_on", metavar="DATE", help="Day of the test as 2026-11-25; today when not given."),
)


@click.command("bow")
@options(TESTS, SHOP, JSON)
def bow(
    brake_id: str,
    tests: tuple[str, ...],
    shear_share: str | None,
    supports: str | None,
    measured_on: str | None,
    shop_name: str | None,
    as_json: bool,
) -> None:
    """Work out from test bends how much ram and bed of BRAKE bow, as lines for brakes.yaml.

    A test is a bend read at its left end, middle and right end; place and line load are those of the test.
    """
    from bendwright.cli.show import show_findings, show_json
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_number
    from bendwright.said import phrase
    from bendwright.trial.bow_calibration import calibrate

    shop = read_shop_named(shop_name)
    if brake_id not in shop.brakes:
        raise InputError(
            found("O104", where="BRAKE", kind=phrase("brake"), name=brake_id, known=", ".join(shop.brakes))
        )
    result = calibrate(
        shop.brakes[brake_id],
        [read_test(text, number) for number, text in enumerate(tests, 1)],
        date=read_date(measured_on),
        shear_share=None if shear_share is None else _share(parse_number(shear_share, where="--shear-share")),
        supports_mm=None if supports is None else read_range(supports, where="--supports"),
    )
    if as_json:
        data = asdict(result) | {"findings": [finding.as_dict() for finding in result.findings]}
        show_json({"brake": brake_id, **data})
        return
    click.echo(f"{as_text(result)}\n\nFor brake {brake_id} in brakes.yaml:\n\n{as_yaml(result.calibration)}")
    show_findings(result.findings)


def read_test(text: str, number: int) -> TestBend:
    """One test bend in words. Raises InputError: C170 for words that are missing or not known, C161 for the angles."""
    from bendwright.cli.trial import read_bend
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_length, parse_line_load_kn_per_m, parse_number
    from bendwright.trial.bow_calibration import TestBend

    where = f"--test {number}"
    pairs = [word.partition("=")[::2] for word in text.split()]
    words = dict(pairs)
    missing = [word for word in WORDS[:-1] if not words.get(word)]
    if missing or len(pairs) != len(words) or set(words) - set(WORDS):
        raise InputError(found("C170", where=where, text=text))
    name = f"test {number}"
    return TestBend(
        reading=read_bend(f"{name}={words['angles']}", ()),
        line_load_kn_per_m=parse_line_load_kn_per_m(words["load"], where=f"{where} load"),
        bend_mm=read_range(words["at"], where=f"{where} at"),
        mm_per_degree=parse_number(words["per_degree"], where=f"{where} per_degree"),
        crown_set_mm=parse_length(words.get("crown", "0"), where=f"{where} crown", allow_zero=True),
    )


def read_range(text: str, *, where: str) -> tuple[float, float]:
    """``300-2700``: two places from the left end of the bed [mm]. Raises InputError C171."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_length

    first, dash, second = text.partition("-")
    if not (dash and first.strip() and second.strip()):
        raise InputError(found("C171", where=where, text=text))
    start, end = parse_length(first, where=where, allow_zero=True), parse_length(second, where=where)
    if start >= end:
        raise InputError(found("C171", where=where, text=text))
    return start, end


def read_date(text: str | None) -> str:
    """The day as year-month-day; today when none was typed. Raises InputError S112."""
    from datetime import date

    from bendwright.findings import InputError, found

    try:
        return (date.fromisoformat(text) if text else date.today()).isoformat()
    except ValueError:
        raise InputError(found("S112", where="--date", text=text)) from None


def as_text(result: Calibrated) -> str:
    """One line a test bend: the sag it shows, and how far the calibrated brake is from its reading."""
    from bendwright.cli.show import table

    rows = [
        (f"{number}", f"{sag:.3f}", f"{residual:+.2f}")
        for number, (sag, residual) in enumerate(zip(result.sags_mm, result.residuals_deg, strict=True), 1)
    ]
    return table(("test", "sag mm", "reading - calibrated deg"), rows)


def as_yaml(calibration: BowCalibration) -> str:
    """The lines to put under the brake."""
    lines = [
        "    bow_calibration:",
        f'      date: "{calibration.date}"',
        f"      line_load: {calibration.line_load_kn_per_m:.7g} kN/m",
        f"      load: [{calibration.load_mm[0]:.7g}, {calibration.load_mm[1]:.7g}]",
        f"      sag: {calibration.sag_mm:.5f} mm",
    ]
    if calibration.shear_share is not None and calibration.supports_mm is not None:
        lines.append(f"      shear_share: {calibration.shear_share:.7g}")
        lines.append(f"      supports: [{calibration.supports_mm[0]:.7g}, {calibration.supports_mm[1]:.7g}]")
    lines.append(f"      readings: {calibration.readings}")
    if calibration.spread_mm is not None:
        lines.append(f"      spread: {calibration.spread_mm:.5f} mm")
    return "\n".join(lines)


def _share(share: float) -> float:
    """A share between 0.01 and 0.95, as in the brake's file."""
    from bendwright.findings import InputError, found

    if not 0.01 <= share <= 0.95:
        raise InputError(found("S130", where="--shear-share", came=f"{share:g}", low="0.01", high="0.95"))
    return share
