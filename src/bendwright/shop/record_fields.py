"""Every field of a punch, a die, a brake, a material and the practice in its file: key, kind of value, words allowed, when it is asked for.

What the readers of the shop files take, as a list a form can be made of. Keys go down by dots (``gauge.x_range``). Lists of groups
(``pieces``, ``punch_clamps.pieces``), the table of least radii and the ``outline`` have forms of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Literal, get_args

from bendwright.shop.bend_table import BendTableRow
from bendwright.shop.brake import Crowning, Drive, PunchHolding
from bendwright.shop.brake_bow import CrownForm
from bendwright.shop.general_tolerance import Grade
from bendwright.shop.material import Family, HardeningLaw
from bendwright.shop.practice import AllowanceMethod, BendModel, HandlingTimes
from bendwright.shop.tools import DieKind, OpeningMeasured, PunchKind

RecordKind = Literal["punches", "dies", "brakes", "materials"]
RECORD_KINDS: tuple[RecordKind, ...] = get_args(RecordKind)
FormKind = Literal["punches", "dies", "brakes", "materials", "practice", "bend_table"]
"""The records of a list, the one record of ``practice.yaml``, and the rows of the bend table."""
FORM_KINDS: tuple[FormKind, ...] = get_args(FormKind)
FieldKind = Literal[
    "text",
    "texts",
    "date",
    "choice",
    "length",
    "angle",
    "force",
    "line_load",
    "strength",
    "number",
    "pair",
    "numbers",
    "strengths",
]
OnlyIf = tuple[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordField:
    """One field. ``pair`` is two lengths, ``numbers`` two plain numbers, ``strengths`` two of those, ``texts`` a list of words. ``only_if``
    names another field and the words it must have for this one to be asked; ``needed`` fields must be filled in whenever they are asked.
    """

    key: str
    kind: FieldKind
    choices: tuple[str, ...] = ()
    only_if: OnlyIf | None = None
    needed: bool = False


def _fields(kind: FieldKind, keys: str, *, only_if: OnlyIf | None = None, needed: bool = False) -> list[RecordField]:
    return [RecordField(key=key, kind=kind, only_if=only_if, needed=needed) for key in keys.split()]


def _choice(key: str, words: tuple[str, ...], *, only_if: OnlyIf | None = None, needed: bool = False) -> RecordField:
    return RecordField(key=key, kind="choice", choices=words, only_if=only_if, needed=needed)


_YES_NO = ("yes", "no")
_OFFSET: OnlyIf = ("kind", ("offset",))
_OFFSET_FIELDS = (
    *_fields("length", "offset.step", only_if=_OFFSET, needed=True),
    *_fields("angle", "offset.turned_angle", only_if=_OFFSET, needed=True),
    *_fields("pair", "offset.thickness_range", only_if=_OFFSET, needed=True),
)
_BENDING: OnlyIf = ("kind", ("straight", "gooseneck", "acute", "heavy", "vee"))
_ROUND: OnlyIf = ("kind", ("straight", "gooseneck", "acute", "heavy", "vee", "offset"))
_NAMED = _fields("text", "id name", needed=True)
_GOOSENECK = [
    "shape.toe_half_width",
    "shape.retreat",
    "shape.throat_from",
    "shape.throat_to",
    "shape.back",
    "shape.clamp_half_width",
]
PUNCH_FIELDS: tuple[RecordField, ...] = (
    *_NAMED,
    _choice("kind", get_args(PunchKind), needed=True),
    *_OFFSET_FIELDS,
    *_fields("angle", "included_angle", only_if=_BENDING, needed=True),
    *_fields("length", "nose_radius", only_if=_ROUND, needed=True),
    *_fields("length", "height", needed=True),
    *_fields("line_load", "max_line_load"),
    _choice("reversible", _YES_NO),
    *_fields("text", "location"),
    _choice("shape.form", ("straight", "gooseneck", "bar", "offset")),
    *_fields("length", "shape.half_width", only_if=("shape.form", ("straight", "bar")), needed=True),
    *_fields("length", " ".join(_GOOSENECK), only_if=("shape.form", ("gooseneck",)), needed=True),
    *_fields("length", "shape.width", only_if=("shape.form", ("offset",)), needed=True),
)
_VEE: OnlyIf = ("kind", ("vee",))
DIE_FIELDS: tuple[RecordField, ...] = (
    *_NAMED,
    _choice("kind", get_args(DieKind), needed=True),
    *_OFFSET_FIELDS,
    *_fields("length", "opening", only_if=_VEE, needed=True),
    _choice("opening_measured", get_args(OpeningMeasured), only_if=_VEE, needed=True),
    *_fields("angle", "included_angle", only_if=_BENDING, needed=True),
    *_fields("length", "shoulder_radius", only_if=_ROUND, needed=True),
    *_fields("length", "height", needed=True),
    *_fields("line_load", "max_line_load"),
    *_fields("text", "location"),
    _choice("shape.form", ("block", "offset")),
    *_fields("length", "shape.width", only_if=("shape.form", ("block", "offset")), needed=True),
)
_CLAMPED: OnlyIf = ("punch_held", ("clamps",))


def _plate(name: str) -> list[RecordField]:
    return [
        *_fields("length", f"beams.{name}.thickness beams.{name}.height"),
        *_fields("strength", f"beams.{name}.youngs_modulus"),
        *_fields("pair", f"beams.{name}.supports beams.{name}.ends"),
    ]


BRAKE_FIELDS: tuple[RecordField, ...] = (
    *_NAMED,
    *_fields("number", "year"),
    _choice("drive", get_args(Drive)),
    *_fields("force", "rated_force min_force"),
    *_fields("length", "bed_length between_frames throat open_height stroke table_width"),
    *_fields("number", "approach_mm_per_s bend_mm_per_s return_mm_per_s"),
    *_fields("length", "y_repeat"),
    *_fields("pair", "gauge.x_range"),
    *_fields("length", "gauge.x_repeat"),
    *_fields("pair", "gauge.r_range gauge.z_range"),
    _choice("gauge.independent_x", _YES_NO),
    *_fields("number", "gauge.fingers"),
    *_fields(
        "length", "gauge.finger_width gauge.finger_height gauge.finger_length gauge.finger_contact gauge.beam_behind"
    ),
    *_fields("pair", "gauge.beam_height"),
    *_fields("length", "gauge.retract"),
    *_fields("pair", "gauge.fingers_apart"),
    _choice("crowning", get_args(Crowning)),
    *_fields("text", "crowning_scale"),
    _choice("crown_device.form", get_args(CrownForm)),
    *_fields("pair", "crown_device.span"),
    *_fields("length", "crown_device.largest"),
    *_fields("number", "crown_device.mm_per_division"),
    *_plate("ram"),
    *_plate("bed"),
    *_fields("numbers", "beams.frame_stiffness_kn_per_mm"),
    *_fields("number", "beams.tool_stiffness_kn_per_mm_per_m"),
    *_fields("date", "bow_calibration.date"),
    *_fields("line_load", "bow_calibration.line_load"),
    *_fields("pair", "bow_calibration.load"),
    *_fields("length", "bow_calibration.sag"),
    *_fields("number", "bow_calibration.shear_share"),
    *_fields("pair", "bow_calibration.supports"),
    *_fields("number", "bow_calibration.readings"),
    *_fields("length", "bow_calibration.spread"),
    _choice("punch_held", get_args(PunchHolding)),
    *_fields("length", "punch_holder_height"),
    *_fields("length", "punch_clamps.height punch_clamps.half_depth", only_if=_CLAMPED, needed=True),
    *_fields("length", "die_holder_height die_holder_width ram_half_depth"),
    *_fields("text", "guard"),
    *_fields("texts", "axes_order"),
    *_fields("number", "hour_meter_h rate_per_h"),
)
_FAMILIES: tuple[Family, ...] = get_args(Family)
_LAWS: tuple[HardeningLaw, ...] = get_args(HardeningLaw)
_LAW = "hardening.law"
MATERIAL_FIELDS: tuple[RecordField, ...] = (
    *_fields("text", "name", needed=True),
    *_fields("text", "based_on"),
    *_fields("texts", "aliases"),
    *_fields("text", "standard"),
    _choice("family", _FAMILIES),
    *_fields("number", "density_kg_per_m3"),
    *_fields("strength", "youngs_modulus"),
    *_fields("number", "poisson"),
    *_fields("strength", "yield_strength tensile_strength"),
    *_fields("strengths", "tensile_range"),
    *_fields("number", "uniform_elongation"),
    *_fields("angle", "springback"),
    *_fields("number", "radius_over_opening"),
    *_fields("text", "provenance", needed=True),
    _choice(_LAW, _LAWS),
    *_fields("strength", "hardening.k", only_if=(_LAW, _LAWS), needed=True),
    *_fields("number", "hardening.e0", only_if=(_LAW, ("swift",)), needed=True),
    *_fields("number", "hardening.n", only_if=(_LAW, ("swift", "hollomon")), needed=True),
    *_fields("number", "hardening.b", only_if=(_LAW, ("voce",)), needed=True),
    *_fields("text", "hardening.provenance", only_if=(_LAW, _LAWS)),
)
PRACTICE_FIELDS: tuple[RecordField, ...] = (
    _choice("bend_model", get_args(BendModel)),
    _choice("allowance", get_args(AllowanceMethod)),
    *_fields("number", "k_factor hole_clearance_thicknesses"),
    *_fields("length", "clearance_watch end_clearance max_uncovered_end finger_contact hand_room"),
    *_fields("number", "two_person_mass_kg whip_watch_m_per_s"),
    *_fields("number", " ".join(f"radius_over_opening.{family}" for family in _FAMILIES)),
    *_fields("angle", " ".join(f"springback.{family}" for family in _FAMILIES)),
    *_fields("number", " ".join(f"times.{item.name}" for item in fields(HandlingTimes))),
    *_fields(
        "length", "spreads.thickness spreads.ram spreads.gauge spreads.cut_edge spreads.micrometer spreads.caliper"
    ),
    *_fields("number", "spreads.strength_percent spreads.modulus_percent spreads.friction"),
    *_fields("angle", "spreads.protractor"),
    _choice("spreads.tolerance_class", get_args(Grade)),
)
FIELDS: dict[FormKind, tuple[RecordField, ...]] = {
    "punches": PUNCH_FIELDS,
    "dies": DIE_FIELDS,
    "brakes": BRAKE_FIELDS,
    "materials": MATERIAL_FIELDS,
    "practice": PRACTICE_FIELDS,
    "bend_table": (),
}
"""By the file (and the key of its list): the fields in the order of a form."""
ROWS: dict[FormKind, str] = {
    "punches": "pieces",
    "dies": "pieces",
    "brakes": "punch_clamps.pieces",
    "practice": "minimum_radius_over_thickness",
    "bend_table": "rows",
}
"""The list of groups each has; of the practice a table whose keys are typed, ``of``, with their number, ``ratio``."""
_PIECE = ("length", "count", "ear.side", "ear.foot_height", "ear.overhang", "ground_height", "location", "condition")
ROW_KEYS: dict[FormKind, tuple[str, ...]] = {
    "punches": _PIECE,
    "dies": _PIECE,
    "brakes": ("length", "count"),
    "materials": (),
    "practice": ("of", "ratio"),
    "bend_table": tuple(item.name for item in fields(BendTableRow)),
}
"""The keys of one of them."""
NAMED_BY: dict[RecordKind, str] = {"punches": "id", "dies": "id", "brakes": "id", "materials": "name"}
"""The field a record is called by."""
