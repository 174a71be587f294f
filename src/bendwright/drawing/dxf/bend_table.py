"""The bend table: a CSV file in which a person says what the drawing does not - angle, direction and radius of each bend line.

Columns, in any order: ``line`` (number) or ``x_mm`` and ``y_mm`` (a place near the line; beside ``line`` the middle of it, which
must fit the drawing), ``direction`` (up or down), ``turned_deg`` or ``included_deg``, ``inside_radius_mm``; ``length_mm`` and
``note`` are for the reader's eye. Comma, semicolon or tab between cells; with semicolon or tab a decimal comma may stand. An empty
cell says nothing.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from bendwright.drawing.dxf.choices import BendWords
from bendwright.drawing.dxf.found_bends import FoundBend
from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.roles import direction_in
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Direction, Point
from bendwright.said import Said, phrase, say

COLUMNS = ("line", "x_mm", "y_mm", "length_mm", "direction", "turned_deg", "included_deg", "inside_radius_mm")
READ_ONLY = ("length_mm", "note")
LARGEST_BYTES = 1_000_000
SAME_PLACE_MM = 1.0


def bend_table_text(bends: Sequence[FoundBend], known: Mapping[int, BendWords]) -> str:
    """The table of these bend lines with what is known filled in."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(COLUMNS)
    for bend in bends:
        low, high = bend.axis.span
        x, y = _middle(bend)
        said = known.get(bend.number, BendWords())
        cells = (said.direction or "", _cell(said.turned_deg), "", _cell(said.inside_radius_mm))
        rows.writerow([bend.number, f"{x:.2f}", f"{y:.2f}", f"{high - low:.2f}", *cells])
    return text.getvalue()


def bend_table_asked(bends: Sequence[FoundBend], known: Mapping[int, BendWords]) -> str:
    """``bend_table_text`` without its last line break, that remembers its lines: what fills ``{table}`` of D341."""
    rows = []
    for bend in bends:
        (low, high), (start, end), said = bend.axis.span, bend.ends, known.get(bend.number, BendWords())
        what = [said.direction, said.turned_deg, said.inside_radius_mm]
        rows.append([bend.number, [float(at) for at in (*start, *end)], float(high - low), *what])
    return Said(bend_table_text(bends, known).rstrip(), "bend_table", {"rows": rows})


def _cell(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def read_bend_table(path: Path) -> tuple[BendWords, ...]:
    """What the table says, row by row. Raises PartFileError (D351 not readable, D352 columns, D353 cells) with all findings."""
    try:
        data = path.read_bytes()
        text = data.decode("utf-8-sig")
        if len(data) > LARGEST_BYTES or "\0" in text:
            raise ValueError("it is no table of bends")
    except (OSError, ValueError) as error:
        problem = getattr(error, "strerror", None) or "it is no UTF-8 text of at most 1 MB"
        raise PartFileError(found("D351", where=str(path), problem=phrase(problem))) from None
    first = text.splitlines()[0] if text.strip() else ""
    mark = max(",;\t", key=first.count)
    try:
        rows = list(csv.reader(text.splitlines(), delimiter=mark))
    except csv.Error as error:
        raise PartFileError(found("D351", where=path.name, problem=phrase(str(error)[:120]))) from None
    head = [cell.strip().lower() for cell in rows[0]] if rows else []
    known = {*COLUMNS, *READ_ONLY}
    unknown = [name for name in head if name not in known]
    placed = "line" in head or {"x_mm", "y_mm"} <= set(head)
    if unknown or not placed or len(set(head)) < len(head):
        came = ", ".join(head)[:120] or phrase("nothing")
        raise PartFileError(found("D352", where=path.name, came=came, allowed=", ".join((*COLUMNS, "note"))))
    bad: list[Finding] = []
    out = []
    for number, cells in enumerate(rows[1:], 2):
        if any(cell.strip() for cell in cells):
            row = dict(zip(head, (cell.strip() for cell in cells), strict=False))
            out.append(_row(row, mark != ",", f"{path.name}:{number}", bad))
    if bad:
        raise PartFileError(bad)
    return tuple(out)


def _row(row: Mapping[str, str], comma: bool, where: str, bad: list[Finding]) -> BendWords:
    """One row; what is wrong with its cells is added to ``bad``."""

    def number(name: str, low: float, high: float) -> float | None:
        cell = row.get(name, "")
        if not cell:
            return None
        try:
            value = float(cell.replace(",", ".") if comma else cell)
        except ValueError:
            value = math.nan
        if not low <= value <= high:
            bad.append(
                found(
                    "D353",
                    where=f"{where} {name}",
                    came=cell[:60],
                    allowed=say("drawing.number_between", low=low, high=high),
                )
            )
            return None
        return value

    line = number("line", 1, 1e6)
    if line is not None and line != int(line):
        bad.append(found("D353", where=f"{where} line", came=row["line"][:60], allowed=phrase("a whole number")))
    x, y = number("x_mm", -1e7, 1e7), number("y_mm", -1e7, 1e7)
    turned, included = number("turned_deg", 0.01, 180.0), number("included_deg", 0.0, 179.99)
    if turned is not None and included is not None and abs(turned + included - 180.0) > 1e-6:
        bad.append(
            found(
                "D353",
                where=f"{where} included_deg",
                came=row["included_deg"],
                allowed=say("drawing.beside_turned", included=180.0 - turned, turned=turned),
            )
        )
    if line is None and (x is None or y is None):
        bad.append(
            found(
                "D353", where=f"{where} line", came=phrase("nothing"), allowed=phrase("a line number, or x_mm and y_mm")
            )
        )
    return BendWords(
        number=None if line is None else int(line),
        at=None if x is None or y is None else (x, y),
        turned_deg=180.0 - included if turned is None and included is not None else turned,
        direction=_direction(row.get("direction", ""), where, bad),
        inside_radius_mm=number("inside_radius_mm", 0.0, 1e4),
    )


def _direction(cell: str, where: str, bad: list[Finding]) -> Direction | None:
    if not cell:
        return None
    way: Direction | None = "up" if cell.lower() == "u" else ("down" if cell.lower() == "d" else direction_in(cell))
    if way is None:
        bad.append(found("D353", where=f"{where} direction", came=cell[:60], allowed=phrase("up or down")))
    return way


def check_places(table: Sequence[BendWords], bends: Sequence[FoundBend], where: str) -> None:
    """Raises PartFileError D355 when a row gives a line's number and a place that is not the middle of that line."""
    by_number = {bend.number: bend for bend in bends}
    wrong = []
    for item in table:
        bend = by_number.get(item.number) if item.number is not None else None
        if bend and item.at and math.dist(item.at, middle := _middle(bend)) > SAME_PLACE_MM:
            wrong.append(say("drawing.other_middle", number=bend.number, place=place(item.at), middle=place(middle)))
    if wrong:
        raise PartFileError(found("D355", where=where, rows=listed(wrong)))


def _middle(bend: FoundBend) -> Point:
    low, high = bend.axis.span
    return bend.axis.at(0.5 * (low + high))


def nearest_bend(bends: Sequence[FoundBend], at: Point) -> FoundBend | None:
    """The bend line nearest to a place."""

    def away(bend: FoundBend) -> float:
        return min(_distance(bend, span, at) for span in bend.axis.stretches)

    return min(bends, key=away, default=None)


def _distance(bend: FoundBend, span: tuple[float, float], at: Point) -> float:
    along, left = bend.axis.local(at)
    beyond = max(span[0] - along, along - span[1], 0.0)
    return math.hypot(beyond, left)
