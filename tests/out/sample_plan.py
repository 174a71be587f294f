"""A hand-made plan for the paper and file tests: a lipped channel 15-40-80-40-15 of Saltmarsh Instruments (invented).

The numbers are consistent where a reader would notice (radius 2.56, deduction 3.779, K 0.42 given; forces of the two
formulas for Rm 410), but they are fixture data: no test of a bending model may lean on them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bendwright.findings import Finding, Severity
from bendwright.part.model import Header, Point
from bendwright.plan.result import (
    PickedPiece,
    Plan,
    PlanLeg,
    PlanTimes,
    RefusedOrder,
    SheetUsed,
    Station,
    ToolChoice,
)
from bendwright.quantities import Band
from bendwright.stroke.crown import Crown, ThreeAngles
from bendwright.stroke.result import (
    Check,
    Clearance,
    Gauging,
    Handling,
    MechanicsOfStroke,
    ModelNumbers,
    SectionView,
    Stroke,
    StrokePoint,
)
from out.sample_blank import DEDUCTION, LENGTH, LINES, blank
from out.sample_section import ALLOWANCE, SETBACK, R, section


@dataclass(frozen=True, slots=True)
class MovedNumber:
    """What the sheet needs to know of a number that moved because the sheet was measured."""

    what: str
    unit: str
    nominal: float
    measured: float

    @property
    def change(self) -> float:
        """Measured minus nominal."""
        return self.measured - self.nominal


def _checks() -> tuple[Check, ...]:
    rows = (
        ("whole force", 185.0, 1000.0, "kN", "upper force against the rated force of the brake"),
        ("line load, brake", 154.0, 641.0, "kN/m", "rated force over 60 % of the distance between the frames"),
        ("line load, punch", 154.0, 600.0, "kN/m", "stamped limit of the punch"),
        ("line load, die", 154.0, 1000.0, "kN/m", "stamped limit of the die"),
    )
    return tuple(
        Check(name=name, value=value, limit=limit, unit=unit, verdict="ok", rule=rule, source="shop file")
        for name, value, limit, unit, rule in rows
    )


def _stroke(
    number: int, bend_id: str, gauging: Gauging, handling: Handling, view: SectionView, mm: float, at: Point
) -> Stroke:
    return Stroke(
        number=number,
        bend_id=bend_id,
        kind="air_bend",
        direction="up",
        gauged_flange_side="child",
        station=1,
        punch_id="P1",
        punch_turned=False,
        die_id="V16",
        stack_length_mm=LENGTH,
        stack_from_mm=0.0,
        bend_length_mm=LENGTH,
        target_included_deg=90.0,
        loaded_included_deg=89.0,
        springback_deg=1.0,
        springback_source="shop practice, steel",
        inside_radius_mm=R,
        radius_source="0.16 x V 16 mm",
        bend_allowance_mm=ALLOWANCE,
        bend_deduction_mm=DEDUCTION,
        allowance_source="K-factor 0.42",
        depth_mm=6.058,
        depth_source="stroke model, flow curve of S235JR",
        mm_per_degree=0.076,
        force_kn=Band(164.0, 185.0, "two formulas"),
        line_load_kn_per_m=Band(136.0, 154.0, "two formulas"),
        mechanics=MechanicsOfStroke(
            flow_curve="flow curve of S235JR",
            largest_line_load_kn_per_m=145.0,
            end_line_load_kn_per_m=119.0,
            outer_strain=0.47,
            centre_thickness_mm=1.88,
            shortest_leg_mm=9.9,
            ram_deg_per_mm=-14.0,
            touch_deg_per_mm=-1.5,
            curve=(
                StrokePoint(
                    depth_mm=0.0, line_load_kn_per_m=0.0, loaded_included_deg=180.0, relaxed_included_deg=180.0
                ),
                StrokePoint(
                    depth_mm=6.058, line_load_kn_per_m=119.0, loaded_included_deg=89.0, relaxed_included_deg=90.0
                ),
            ),
        ),
        models=(
            ModelNumbers(
                model="charts",
                inside_radius_mm=R,
                bend_deduction_mm=3.994,
                springback_deg=2.3,
                depth_mm=5.64,
                mm_per_degree=0.078,
                line_load_kn_per_m=Band(136.0, 154.0, "two formulas"),
            ),
        ),
        crown=Crown(
            line_load_kn_per_m=145.0,
            ranges_mm=((950.0, 950.0 + LENGTH),),
            mm_per_degree=0.076,
            needed_mm=Band(0.026, 0.031, "two formulas"),
            height_mm=0.176,
            divisions=1.8,
            depth_mm=-0.148,
            tilt_mm=0.0,
            y1_mm=-0.148,
            y2_mm=-0.148,
            before_deg=ThreeAngles(left_deg=0.0, centre_deg=0.34, right_deg=0.0),
            after_deg=ThreeAngles(left_deg=0.0, centre_deg=0.0, right_deg=0.0),
            worst_after_deg=0.003,
            source="sizes of ram and bed",
        ),
        loads=_checks(),
        checks=(
            Check(
                name="shortest flange",
                value=gauging.x_mm,
                limit=11.3,
                unit="mm",
                verdict="ok",
                rule="leg over the die's shoulder at the end of the stroke",
                source="geometry",
            ),
        ),
        gauging=gauging,
        handling=handling,
        clearance=Clearance(mm=mm, part_piece="lip", against="punch P1", at_turned_deg=90.0, at_point=at, verdict="ok"),
        whip_m_per_s=0.12,
        cautions=("long sheet in front: both hands at the ends, away from the die",) if number < 3 else (),
        why=("lips before walls: a standing wall would meet the punch by 28.3 mm",),
        view=view,
    )


def _gauging(flange: str, x_mm: float, at: str, error: str, *, face: bool = False) -> Gauging:
    return Gauging(
        kind="face" if face else "edge",
        flange_id=flange,
        x_mm=x_mm,
        r_mm=0.5,
        fingers_z_mm=(150.0, 1050.0),
        contact_mm=20.0,
        at=at,
        holds="the outside length to the gauge",
        takes_error=error,
        verdict="ok",
    )


def _handling(turn: float, text: str, *, move: bool = False) -> Handling:
    return Handling(flip=False, turn_deg=turn, station_change=False, gauge_move=move, seconds=12.0, text=text)


def strokes() -> tuple[Stroke, ...]:
    """Lips first, then walls; gauged on the lip's edge, then on the lip's outside face."""
    lip, wall, base = 15 - SETBACK, 40 - 2 * SETBACK, 80 - 2 * SETBACK
    x_lip, x_wall = LINES[0], 40.0 - DEDUCTION / 2
    lip_edge, lip_face = "free edge of lip_{}", "outside face of lip_{}"
    all_flat = ([wall + ALLOWANCE + base + ALLOWANCE + wall + ALLOWANCE + lip], [])
    one_lip = ([wall + ALLOWANCE + base + ALLOWANCE + wall, lip], [90.0])
    both_lips = ([base + ALLOWANCE + wall, lip], [90.0])
    one_wall = ([base, wall, lip], [90.0, 90.0])
    standing = ([wall, lip], [90.0])
    start, turn = _handling(0, "lay in, lip_a to gauge"), _handling(180, "turn end for end")
    move = _handling(0, "push on", move=True)
    rows = (
        ("B1", _gauging("lip_a", x_lip, lip_edge.format("a"), "wall_a"), start, section(all_flat, ([lip], []), x_lip)),
        ("B4", _gauging("lip_b", x_lip, lip_edge.format("b"), "wall_b"), turn, section(one_lip, ([lip], []), x_lip)),
        ("B3", _gauging("wall_b", x_wall, lip_face.format("b"), "base", face=True), move,
         section(both_lips, standing, x_wall)),
        ("B2", _gauging("wall_a", x_wall, lip_face.format("a"), "base", face=True), turn,
         section(one_wall, standing, x_wall)),
    )  # fmt: skip
    nearest = ((41.2, (14.0, 15.0)), (38.0, (14.0, 15.0)), (14.1, (20.5, 34.0)), (10.7, (-17.7, 70.4)))
    return tuple(_stroke(i + 1, *row, *near) for i, (row, near) in enumerate(zip(rows, nearest, strict=True)))


def _pieces(tool: str, place: str) -> tuple[PickedPiece, ...]:
    rows = ((835.0, "835 solid"), (300.0, "300"), (50.0, "50"), (15.0, "15"))
    return tuple(
        PickedPiece(tool_id=tool, length_mm=length, label=label, location=f"{place}{1 if length > 800 else 2}")
        for length, label in rows
    )


def channel_plan() -> Plan:
    """The whole plan of the channel."""
    return Plan(
        schema="bendwright-plan/1",
        header=Header(
            part_no="SI-2041",
            revision="C",
            title="Cable tray, lipped",
            customer="Saltmarsh Instruments",
            grain="along_y",
            material="S235JR",
            thickness_mm=2.0,
            quantity=200,
            notes=("Invented part",),
        ),
        sheet=SheetUsed(
            material="S235JR",
            family="steel",
            nominal_thickness_mm=2.0,
            thickness_mm=2.0,
            measured=True,
            tensile_mpa=410.0,
            yield_mpa=250.0,
            density_kg_per_m3=7850.0,
            batch="H-7731",
            film_mm=None,
        ),
        brake_id="M1",
        brake_name="Long brake, 1000 kN",
        quantity=200,
        blank=blank(),
        mass_kg=3.27,
        stations=(
            Station(
                number=1,
                set_up=1,
                punch_id="P1",
                punch_turned=False,
                die_id="V16",
                length_mm=LENGTH,
                left_end_z_mm=950.0,
                punch_pieces=_pieces("P1", "rack A"),
                die_pieces=_pieces("V16", "rack D"),
                daylight_mm=235.0,
            ),
        ),
        strokes=strokes(),
        legs=tuple(
            PlanLeg(flange_id=f"leg{i}", aimed_mm=size, drawn_mm=size, gauged_at_bend=held)
            for i, (size, held) in enumerate(
                ((15.0, "b1"), (40.0, "b2"), (80.0, None), (40.0, "b3"), (15.0, "b4")), start=1
            )
        ),
        tool_choices=(
            ToolChoice(
                die_id="V16",
                opening_mm=16.0,
                inside_radius_mm=2.56,
                verdict="taken",
                reason="8 times the thickness, lip 15 reaches over the shoulder (11.3 needed)",
                checks=(),
            ),
            ToolChoice(
                die_id="V20",
                opening_mm=20.0,
                inside_radius_mm=3.2,
                verdict="possible",
                reason="lip 15 leaves only 0.9 mm over the shoulder",
                checks=(),
            ),
            ToolChoice(
                die_id="V25",
                opening_mm=25.0,
                inside_radius_mm=4.0,
                verdict="refused",
                reason="lip 15 is too short: 17.7 needed",
                checks=(),
            ),
        ),
        refused=(
            RefusedOrder(
                sentence="Walls before lips: at bend B1 the base stands in the punch.",
                bend_id="B1",
                against="punch P1",
                mm=-28.3,
            ),
        ),
        times=PlanTimes(setup_s=1080.0, cycle_s=128.0),
        optimal=True,
        lower_bound_s=128.0,
        states_searched=61,
        cautions=("Sheet corners are sharp: gloves.",),
        findings=(
            Finding("M105", Severity.WATCH, "Hole near bend B2 may go oval.", "B2", "Check it after the first piece."),
        ),
        made_on="2026-11-25",
    )


def moved_numbers() -> tuple[MovedNumber, ...]:
    """What moved against the nominal sheet (invented)."""
    return (
        MovedNumber("blank width", "mm", 174.88, 175.02),
        MovedNumber("B1 X", "mm", 13.11, 13.13),
        MovedNumber("B2 X", "mm", 38.11, 38.13),
        MovedNumber("B1 depth", "mm", 6.058, 6.101),
        MovedNumber("B1 force, upper", "kN", 185.0, 176.2),
    )


def with_strokes(plan: Plan, count: int) -> Plan:
    """The plan with its strokes repeated up to ``count``, numbered on."""
    told = plan.strokes
    many = tuple(replace(told[i % len(told)], number=i + 1, bend_id=f"B{i + 1}") for i in range(count))
    return replace(plan, strokes=many)
