"""``bendwright trial``: readings of the first piece in, corrections out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bendwright.cli.inputs import JSON, options

if TYPE_CHECKING:
    from bendwright.plan.result import Plan
    from bendwright.trial.corrections import Corrections
    from bendwright.trial.readings import LegAim, LegReading, Reading

LARGEST_PLAN_BYTES = 50_000_000

READINGS = (
    click.argument("plan_file", type=click.Path(dir_okay=False, path_type=Path)),
    click.option(
        "--bend", "bends", metavar="ID=L/C/R", multiple=True, help="Included angles left/centre/right; b1=90.2//90.4."
    ),
    click.option(
        "--leg",
        "legs",
        metavar="ID=MEASURED",
        multiple=True,
        help="Outside leg measured, e.g. base=80.4; base=80/80.4@b2 says what was wanted and where it was gauged.",
    ),
    click.option("--sheet", "thickness", metavar="LENGTH", help="Measured thickness of this piece."),
    click.option(
        "--confirmed", metavar="ID", multiple=True, help="The readings of this bend were taken twice and stand."
    ),
)


@click.command()
@options(READINGS, JSON)
def command(
    plan_file: Path,
    bends: tuple[str, ...],
    legs: tuple[str, ...],
    thickness: str | None,
    confirmed: tuple[str, ...],
    as_json: bool,
) -> int:
    """From the readings of the first piece made by PLAN_FILE (JSON) to what to turn, and by how much."""
    from bendwright.cli.show import show_findings, show_json
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_optional_length
    from bendwright.trial.corrections import correct
    from bendwright.trial.from_plan import job_of_plan
    from bendwright.trial.readings import FirstPiece

    if not bends and not legs:
        raise InputError(found("C160"))
    words = [split_leg(text) for text in legs]
    readings = tuple(read_bend(text, confirmed) for text in bends)
    plan = read_plan(plan_file)
    measured = [read_leg(one, plan) for one in words]
    piece = FirstPiece(
        readings=readings,
        legs=tuple(reading for _, reading in measured),
        thickness_mm=parse_optional_length(thickness, where="--sheet"),
    )
    result = correct(piece, job_of_plan(plan, legs=tuple(aim for aim, _ in measured)))
    findings = [finding.as_dict() for finding in result.findings]
    if as_json:
        data = {
            "bends": [asdict(bend) for bend in result.bends],
            "legs": [asdict(leg) for leg in result.legs],
            "blank": asdict(result.blank) if result.blank else None,
        }
        show_json({"findings": findings, **data})
        return 0
    click.echo(as_text(result))
    show_findings(result.findings)
    return 0


def read_plan(path: Path) -> Plan:
    """The plan stored in a file. Raises InputError: C165 for a file that cannot be read, D1xx for what is no plan."""
    from bendwright.drawing.plan_file import plan_from_json
    from bendwright.findings import InputError, found
    from bendwright.said import phrase

    try:
        if path.stat().st_size > LARGEST_PLAN_BYTES:
            raise InputError(found("C165", where=str(path), path=path, why=phrase("it is larger than 50 MB")))
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise InputError(
            found("C165", where=str(path), path=path, why=phrase(error.strerror or "it cannot be opened"))
        ) from None
    except UnicodeDecodeError:
        raise InputError(found("C165", where=str(path), path=path, why=phrase("it is no UTF-8 text"))) from None
    return plan_from_json(text)


def read_bend(text: str, confirmed: Sequence[str]) -> Reading:
    """``b1=90.0/90.9/90.0`` (a place may be left empty), or one reading at the centre. Raises InputError C161."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import is_blank, parse_angle_deg
    from bendwright.trial.readings import Reading

    name, equals, values = text.partition("=")
    places = values.split("/")
    if not equals or not name.strip() or len(places) not in (1, 3) or all(is_blank(place) for place in places):
        raise InputError(found("C161", where="--bend", text=text))
    read = [None if is_blank(place) else parse_angle_deg(place, where=f"--bend {name.strip()}") for place in places]
    left, centre, right = read if len(read) == 3 else (None, read[0], None)
    name = name.strip()
    return Reading(bend_id=name, left_deg=left, centre_deg=centre, right_deg=right, confirmed=name in confirmed)


@dataclass(frozen=True, slots=True)
class LegWords:
    """A leg as typed: name, what was wanted ("" = as planned), what was measured, the bend it was gauged at ("" = as planned)."""

    name: str
    wanted: str
    measured: str
    gauged_at: str


def split_leg(text: str) -> LegWords:
    """``base=80.4`` or ``base=80/80.4@b2`` in its words. Raises InputError C162."""
    from bendwright.findings import InputError, found

    name, equals, rest = text.partition("=")
    values, _, gauged_at = rest.partition("@")
    wanted, stroke, measured = values.rpartition("/")
    if not (equals and name.strip() and measured.strip()) or (stroke and not wanted.strip()):
        raise InputError(found("C162", where="--leg", text=text))
    return LegWords(name.strip(), wanted.strip(), measured.strip(), gauged_at.strip())


def read_leg(words: LegWords, plan: Plan) -> tuple[LegAim, LegReading]:
    """The leg wanted and measured; wanted size and gauging come from the plan where they were not typed. InputError C163."""
    from bendwright.findings import InputError, found
    from bendwright.quantities import parse_length
    from bendwright.said import phrase
    from bendwright.trial.readings import LegAim, LegReading

    name = words.name
    where = f"--leg {name}"
    known = {leg.flange_id: leg for leg in plan.legs}
    if name not in known:
        raise InputError(found("C163", where=where, name=name, known=", ".join(known)))
    held = known[name].gauged_at_bend
    if words.gauged_at and words.gauged_at != held:
        raise InputError(found("C164", where=where, bend=words.gauged_at, name=name, held=held or phrase("no bend")))
    unit = plan.header.drawing_unit
    read = LegReading(flange_id=name, measured_mm=parse_length(words.measured, where=where, default_unit=unit))
    size = parse_length(words.wanted, where=where, default_unit=unit) if words.wanted else known[name].aimed_mm
    return LegAim(flange_id=name, outside_mm=size, gauged_at_bend=held), read


def as_text(result: Corrections) -> str:
    """What to turn: one row a bend, one row a leg, the verdict on the blank."""
    from bendwright.cli.show import table

    parts = []
    if result.bends:
        head = ("bend", "error deg", "by sheet", "by springback", "depth mm", "tilt mm", "crown mm", "mm/deg", "model")
        rows = [
            (
                bend.bend_id + (f" (with {', '.join(bend.with_bends)})" if bend.with_bends else ""),
                _signed(bend.error_deg, 2),
                _signed(bend.thickness_effect_deg, 2),
                _signed(bend.springback_effect_deg, 2),
                _signed(bend.depth_mm, 3),
                _signed(bend.tilt_mm, 3),
                _signed(bend.crown_mm, 3),
                f"{bend.mm_per_degree:.4f}",
                bend.model,
            )
            for bend in result.bends
        ]
        parts.append(
            f"{table(head, rows)}\nDepth +: deeper, closes; tilt +: right deeper; crown +: more at the centre."
        )
    if result.legs:
        lines = [
            (leg.flange_id, _signed(leg.error_mm, 2), leg.gauged_at_bend or "-", _signed(leg.x_offset_mm, 2))
            for leg in result.legs
        ]
        parts.append(table(("leg", "error mm", "gauged at", "X offset mm"), lines))
    if result.blank:
        parts.append(result.blank.sentence)
    return "\n\n".join(parts)


def _signed(value: float | None, decimals: int) -> str:
    """A number with its sign, or ``?`` where the readings do not tell."""
    return "?" if value is None else f"{value:+.{decimals}f}"
