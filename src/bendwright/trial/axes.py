"""What the two ram axes must do so that the places measured get their change; the station may stand off centre."""

from __future__ import annotations

from bendwright.findings import InputError, found


def axis_changes_mm(
    *, left_mm: float, right_mm: float, left_z_mm: float, right_z_mm: float, axes_distance_mm: float
) -> tuple[float, float]:
    """Change of the left and the right axis (Y1, Y2): the straight line through both places, read at the axes.

    ``left_z_mm`` and ``right_z_mm`` are places along the bed from its middle (right = +), the axes stand at
    +/- half ``axes_distance_mm``. InputError T115 when both places are the same.
    """
    if left_z_mm == right_z_mm:
        raise InputError(found("T115", where="left_z_mm", place_mm=left_z_mm))
    slope = (right_mm - left_mm) / (right_z_mm - left_z_mm)
    middle = left_mm - slope * left_z_mm
    return middle - slope * axes_distance_mm / 2.0, middle + slope * axes_distance_mm / 2.0
