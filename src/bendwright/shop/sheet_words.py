"""A sheet said in words: material, thickness, readings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from bendwright.findings import InputError, found
from bendwright.quantities import LengthUnit, is_blank, parse_length, parse_pressure_mpa
from bendwright.shop.find_material import find_material
from bendwright.shop.gauges import gauge_reader
from bendwright.shop.sheet import FilmSides, Grain, Sheet
from bendwright.shop.shop import Shop
from bendwright.typed.gathering import Gathering

_FARTHEST = 0.25


def sheet_from_words(
    *,
    material_name: str,
    thickness_text: object,
    measured_texts: Sequence[object] = (),
    shop: Shop,
    film: object = None,
    film_sides: FilmSides = "unknown",
    grain: Grain = "unknown",
    batch: str = "",
    tensile: object = None,
    default_unit: LengthUnit = "mm",
) -> Sheet:
    """The sheet: thickness and readings as typed (``14 ga`` by the material's family), film thickness or blank.

    A reading more than 25 % off the nominal thickness is taken for a slip. Raises InputError with all findings.
    """
    words = Gathering()
    material = words.tried(lambda: find_material(material_name, shop.materials))
    typed = partial(parse_length, default_unit=default_unit, gauge=gauge_reader(material.family) if material else None)
    nominal_mm = words.tried(lambda: typed(thickness_text, where="thickness"))
    readings = [
        words.tried(partial(_reading, typed, text, nominal_mm, f"reading {number}"))
        for number, text in enumerate(measured_texts, start=1)
    ]
    film_mm = words.tried(lambda: None if is_blank(film) else typed(film, where="film", allow_zero=True))
    tensile_mpa = words.tried(
        lambda: None if is_blank(tensile) else parse_pressure_mpa(tensile, where="tensile strength")
    )
    if words.findings or material is None or nominal_mm is None:
        raise InputError(words.findings)
    return Sheet(
        material=material,
        nominal_thickness_mm=nominal_mm,
        measured_thickness_mm=tuple(reading for reading in readings if reading is not None),
        grain=grain,
        film_mm=film_mm,
        film_sides=film_sides,
        tensile_mpa=tensile_mpa,
        batch=batch,
    )


def _reading(typed: Callable[..., float], text: object, nominal_mm: float | None, where: str) -> float:
    """One reading, refused when it is far off the nominal thickness."""
    reading_mm = typed(text, where=where)
    if nominal_mm is not None and abs(reading_mm - nominal_mm) > _FARTHEST * nominal_mm:
        percent = f"{100.0 * (reading_mm / nominal_mm - 1.0):+.0f}"
        values = {"reading": f"{reading_mm:g}", "nominal": f"{nominal_mm:g}", "percent": percent}
        raise InputError(found("S140", where=where, **values))
    return reading_mm
