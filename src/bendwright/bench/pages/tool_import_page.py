"""Tools that come out of a file: a table of many, or the drawing of one. Shown before anything is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bendwright.bench.problems import FindingShown, shown
from bendwright.drawing.dxf.tool_profile import ToolProfile
from bendwright.sheets.shown import Shown, count
from bendwright.shop.tools_csv import ToolTable
from bendwright.wanted.shop_edit import RowRead


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnRead:
    """A column: its heading, and the field it fills ("" = none)."""

    heading: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowShown:
    """A row by its number in the file: the tool, whether it is new, changed, the same or refused, its texts by field, its pieces,
    and its findings, each ``where`` being the heading of a column.
    """

    number: int
    id: str
    state: str
    texts: dict[str, str]
    pieces: str
    findings: list[FindingShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePage:
    """A table of tools as it was read; ``applied`` says whether it was written into the shop."""

    columns: list[ColumnRead]
    rows: list[RowShown]
    new: Shown
    changed: Shown
    same: Shown
    refused: Shown
    applied: bool
    findings: list[FindingShown]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileRead:
    """The section in a drawing: texts for the form by field, the corners of the outline as texts and in mm, what there is to say."""

    texts: dict[str, str]
    outline: list[list[str]]
    corners_mm: list[tuple[float, float]]
    findings: list[FindingShown]


def table_page(table: ToolTable, rows: Sequence[RowRead], *, applied: bool) -> TablePage:
    """The page of a table."""
    states = [row.state for row in rows]
    return TablePage(
        columns=[ColumnRead(heading=column.heading, key=column.key) for column in table.columns],
        rows=[_row(row) for row in rows],
        new=count(states.count("new")),
        changed=count(states.count("changed")),
        same=count(states.count("same")),
        refused=count(states.count("refused")),
        applied=applied,
        findings=[shown(finding) for finding in table.findings],
    )


def profile_read(profile: ToolProfile) -> ProfileRead:
    """The page of a section."""
    return ProfileRead(
        texts=dict(profile.words.fields),
        outline=[list(corner) for corner in profile.words.outline],
        corners_mm=list(profile.outline),
        findings=[shown(finding) for finding in profile.findings],
    )


def _row(row: RowRead) -> RowShown:
    words = row.row.words
    pieces = "; ".join(f"{p.get('length', '?')}{' x ' + p['count'] if 'count' in p else ''}" for p in words.rows)
    return RowShown(
        number=row.row.number,
        id=row.id,
        state=row.state,
        texts=dict(words.fields),
        pieces=pieces,
        findings=[shown(finding) for finding in row.findings],
    )
