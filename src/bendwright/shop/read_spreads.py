"""The group ``spreads`` of ``practice.yaml``: how much sheets, brake and blanks of this shop vary."""

from __future__ import annotations

from bendwright.shop.fields import a_number_or_zero, within
from bendwright.shop.general_tolerance import Grade
from bendwright.shop.spread_practice import SpreadPractice
from bendwright.typed.readers import a_length_or_zero, an_angle_or_zero, one_of
from bendwright.typed.record import Record, Value

CLASSES: tuple[Grade, ...] = ("f", "m", "c", "v")
_LENGTHS = ("thickness", "ram", "gauge", "cut_edge", "micrometer", "caliper")
_PERCENTS = ("strength_percent", "modulus_percent")


def read_spreads(value: Value) -> SpreadPractice:
    """The spreads of the file; what is left out stays unknown. Lengths up to 2 mm, friction 0.3, percents 40, 5 degrees."""
    record = Record(value, "group of spreads")
    given: dict[str, object] = {
        f"{key}_mm": record.optional(key, within(a_length_or_zero, 0.0, 2.0)) for key in _LENGTHS
    }
    given |= {key: record.optional(key, within(a_number_or_zero, 0.0, 40.0)) for key in _PERCENTS}
    given["friction"] = record.optional("friction", within(a_number_or_zero, 0.0, 0.3))
    given["protractor_deg"] = record.optional("protractor", within(an_angle_or_zero, 0.0, 5.0))
    given["tolerance_class"] = record.optional("tolerance_class", one_of(*CLASSES))
    record.done()
    return SpreadPractice(**given)  # type: ignore[arg-type]
