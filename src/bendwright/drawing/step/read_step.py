"""A STEP file to a part: which body is the sheet, what else is in the file, and the part itself.

``read_step`` asks the CAD kernel in a process of its own; ``read_step_here`` asks it in this one (for tests and measuring).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bendwright.drawing.isolated import read_isolated
from bendwright.drawing.reading import Body, Reading, ReadLimits
from bendwright.drawing.step.model_record import Model, Solid, model_from_data
from bendwright.drawing.step.read_sheet import SheetRead, read_sheet
from bendwright.findings import Finding, PartFileError, found
from bendwright.part.model import Header, Part
from bendwright.said import joined, phrase, say

FIRST_WORDS = b"ISO-10303-21"
LAST_WORDS = b"END-ISO-10303-21"
HEAD_BYTES = 4096
MOST_LISTED = 12
FARTHEST_MM = 1e6
MOST_CLASHING = 40
CLASH_MM = -0.1


@dataclass(frozen=True, slots=True)
class _Tried:
    """A body and what became of reading it."""

    solid: Solid
    sheet: SheetRead | None
    wrong: tuple[Finding, ...]


def read_step(path: Path, *, header: Header, body: int | None = None, limits: ReadLimits | None = None) -> Reading:
    """The part in a STEP file. ``body`` picks one of several (from 1); ``limits`` bind the reading process.

    Raises PartFileError with findings D201 to D223 when there is no part.
    """
    limits = limits or ReadLimits()
    notes = _looks_whole(path)
    data = read_isolated("step", path, limits)
    if "refused" in data:
        code, reason = data["refused"]
        raise PartFileError(found(code, where=path.name, reason=phrase(reason)))
    return _reading(model_from_data(data), path, header, body, notes)


def read_step_here(path: Path, *, header: Header, body: int | None = None) -> Reading:
    """The same without a process of its own: a file that brings the kernel down brings this process down."""
    from bendwright.drawing.step.kernel import KernelMissingError, UnreadableError, read_model

    notes = _looks_whole(path)
    try:
        model = read_model(path)
    except KernelMissingError as error:
        raise PartFileError(found("D202", where=path.name, reason=str(error))) from error
    except UnreadableError as error:
        raise PartFileError(found("D201", where=path.name, reason=phrase("syntax error or cut off"))) from error
    return _reading(model, path, header, body, notes)


def _looks_whole(path: Path) -> list[Finding]:
    """Refuses at once what is no STEP file; a missing end is a watch, should the kernel take the file."""
    if path.exists() and not path.is_file():
        raise PartFileError(found("D201", where=path.name, reason=phrase("it is a folder or a device, not a file")))
    try:
        with path.open("rb") as stream:
            head = stream.read(HEAD_BYTES)
            stream.seek(max(0, path.stat().st_size - HEAD_BYTES))
            tail = stream.read()
    except OSError as error:
        raise PartFileError(found("D201", where=path.name, reason=phrase(error.strerror or str(error)))) from error
    if not head.strip():
        raise PartFileError(found("D201", where=path.name, reason=phrase("the file is empty")))
    if FIRST_WORDS not in head:
        reason = say("step.begins_with", words=FIRST_WORDS.decode())
        raise PartFileError(found("D201", where=path.name, reason=reason))
    return [] if LAST_WORDS in tail else [found("D233", where=path.name)]


def _reading(model: Model, path: Path, header: Header, body: int | None, notes: list[Finding]) -> Reading:
    if not model.solids:
        raise PartFileError(_no_solid(model, path))
    if body is not None and not 1 <= body <= len(model.solids):
        raise PartFileError(found("D210", where=path.name, body=body, count=len(model.solids)))
    if body is not None:
        chosen = _try(model.solids[body - 1], header)
        tried = [_Tried(solid, None, ()) for solid in model.solids if solid.number != body]
    else:
        everything = [_try(solid, header) for solid in model.solids]
        chosen = _choice(everything, path)
        tried = [item for item in everything if item is not chosen]
    if chosen.sheet is None:
        raise PartFileError(list(chosen.wrong))
    bodies = sorted([_body(item) for item in (chosen, *tried)], key=lambda item: item.number)
    others = [item for item in bodies if item.number != chosen.solid.number]
    if others:
        notes.append(found("D211", where=path.name, count=len(others), bodies=_listed(others)))
    return Reading(
        part=chosen.sheet.part,
        source="step",
        findings=(*notes, *chosen.sheet.findings, *_clashes(chosen.sheet.part)),
        bodies=tuple(bodies),
        model_volume_mm3=chosen.solid.volume_mm3,
        refolded_volume_mm3=chosen.sheet.volume_mm3,
    )


def _clashes(part: Part) -> list[Finding]:
    """Flanges that run into each other as drawn (D237); parts of very many flanges are not looked through."""
    from bendwright.findings import NotPossibleError
    from bendwright.part.drawn_blank import drawn_blank
    from bendwright.part.overlaps import folded_gaps

    if not 2 < len(part.flanges) <= MOST_CLASHING:
        return []
    try:
        gaps = folded_gaps(part, drawn_blank(part), within_mm=0.0)
    except NotPossibleError:
        return []
    return [
        found("D237", where=f"flanges {gap.first}, {gap.second}", first=gap.first, second=gap.second, deep=-gap.gap_mm)
        for gap in gaps
        if gap.gap_mm < CLASH_MM
    ]


def _no_solid(model: Model, path: Path) -> Finding:
    counts = ((model.open_shells, "open shells"), (model.loose_faces, "loose faces"), (model.loose_wires, "curves"))
    what = joined(", ", [say("step.count", count=count, what=phrase(name)) for count, name in counts if count])
    return found("D206", where=path.name, what=what) if what else found("D207", where=path.name)


def _try(solid: Solid, header: Header) -> _Tried:
    largest = max((abs(value) for edge in solid.edges for point in edge.points for value in point), default=0.0)
    if not largest <= FARTHEST_MM:
        return _Tried(solid, None, (found("D236", where=f"body {solid.number}", farthest=FARTHEST_MM / 1e3),))
    try:
        return _Tried(solid, read_sheet(solid, header), ())
    except PartFileError as error:
        return _Tried(solid, None, tuple(error.findings))
    except Exception as error:  # numbers that contradict each other can fail anywhere; other bodies may still be sound
        reason = f"{type(error).__name__}: {error}"[:120]
        return _Tried(solid, None, (found("D238", where=f"body {solid.number}", reason=reason),))


def _choice(tried: list[_Tried], path: Path) -> _Tried:
    """The one sheet body: the only bent one, else the only flat one; D208 or D209 when that names none."""
    sheets = [item for item in tried if item.sheet is not None]
    bent = [item for item in sheets if item.sheet and item.sheet.part.bends]
    if len(tried) == 1:
        return tried[0]
    for group in (bent, sheets):
        if len(group) == 1:
            return group[0]
        if group:
            bodies = [_body(item) for item in group]
            raise PartFileError(found("D208", where=path.name, count=len(group), bodies=_listed(bodies)))
    bodies = [_body(item) for item in tried]
    reasons = {item.wrong[0].code: item.wrong[0] for item in reversed(tried) if item.wrong}
    raise PartFileError([found("D209", where=path.name, count=len(tried), bodies=_listed(bodies)), *reasons.values()])


def _body(item: _Tried) -> Body:
    faces = len(item.solid.faces)
    words = say("step.faces", faces=faces, volume=item.solid.volume_mm3)
    if item.sheet is not None:
        part = item.sheet.part
        bends, thickness = len(part.bends), part.header.thickness_mm
        words = say("step.sheet", thickness=thickness, bends=bends, volume=item.solid.volume_mm3)
    elif item.wrong:
        words = say("step.no_sheet", words=words, code=item.wrong[0].code)
    return Body(number=item.solid.number, name=item.solid.name, words=words, sheet=item.sheet is not None)


def _listed(bodies: list[Body]) -> str:
    first = joined("; ", map(_in_words, bodies[:MOST_LISTED]))
    more = len(bodies) - MOST_LISTED
    return say("step.more", first=first, more=more) if more > 0 else first


def _in_words(body: Body) -> str:
    name = f" {body.name!r}" if body.name else ""
    return say("step.body", number=body.number, name=name, words=phrase(body.words))
