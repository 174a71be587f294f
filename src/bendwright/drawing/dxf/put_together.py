"""From a sheet with its bend lines to the part: what is said of the bends, their zones, pieces and folds, and a check of the result."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shapely import Polygon

from bendwright.drawing.dxf.allowance import Allowance, allowances, thickness_from_zones
from bendwright.drawing.dxf.bend_says import Said, from_texts, what_is_said
from bendwright.drawing.dxf.bend_table import bend_table_text
from bendwright.drawing.dxf.choices import BendWords, DxfChoices
from bendwright.drawing.dxf.drawn import DrawnText
from bendwright.drawing.dxf.folds import flat_pieces, fold_of
from bendwright.drawing.dxf.found_bends import FoundBend, Joint, joints
from bendwright.drawing.dxf.labels import Label, label_of, labels_by_bend, other_texts
from bendwright.drawing.dxf.places import listed, place
from bendwright.drawing.dxf.sheets import FlatSheet
from bendwright.drawing.dxf.split import Split, split
from bendwright.drawing.dxf.understood import Understood
from bendwright.drawing.write_atomic import write_atomic
from bendwright.findings import BendwrightError, Finding, PartFileError, Severity, found
from bendwright.mechanics.bend_allowance import setback_mm
from bendwright.part.bend_size import BendSize
from bendwright.part.blank import make_blank
from bendwright.part.blank_model import Blank
from bendwright.part.from_flats import part_from_flats
from bendwright.part.model import Flange, Header, Part
from bendwright.said import joined, phrase, say, unstopped

AGREE_MM = 0.01
Jointed = tuple[FoundBend, Joint]
AGREE_SHARE = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """A flat with its bend lines, the drawing's texts, the rows of a bend table, and the thickness as far as known [mm]."""

    flat: Understood
    bends: tuple[FoundBend, ...]
    texts: tuple[DrawnText, ...]
    table: tuple[BendWords, ...]
    thickness_mm: float | None
    where: str


def unbent_part(sheet: FlatSheet, header: Header, thickness_mm: float | None) -> Part:
    """A flat part: one flange, no bends."""
    (piece,) = flat_pieces(Split(flats=(sheet.polygon,), parts=()), sheet)
    flange = Flange(id="base", outline=piece.outline, features=piece.features, arcs=piece.arcs)
    return Part(header=replace(header, thickness_mm=thickness_mm), flanges=(flange,), bends=())


def bent_part(bent: Bent, header: Header, choices: DxfChoices) -> tuple[Part, list[Finding]]:
    """The part and the findings on the way. Raises PartFileError with what is missing or cannot be folded."""
    where = bent.where
    labels = _labels(bent, choices)
    said, known, findings = what_is_said(
        bent.bends, labels, bent.table, choices, mm_per_unit=bent.flat.mm_per_unit, where=where
    )
    if choices.template:
        write_atomic(choices.template, bend_table_text(bent.bends, known).encode())
        findings.append(found("D354", where=where, file=choices.template.name))
    findings += other_texts(bent.texts, used=[label.text for own in labels.values() for label in own], where=where)
    if texts := from_texts(bent.bends, labels, said):
        findings.append(found("D344", where=where, texts=listed(texts)))
    thickness = _thickness(bent, said, choices, findings)
    if thickness is None or any(item.severity is Severity.ERROR for item in findings):
        raise PartFileError(findings)
    sizes, more = allowances(bent.bends, said, choices, thickness_mm=thickness, where=where)
    findings += more
    try:
        cut, joined = _cut(bent, sizes, findings)
        pieces = flat_pieces(cut, bent.flat.sheet)
        order = _from_the_base(joined)
        folds = [fold_of(bend, joint, cut, said, sizes) for bend, joint in order]
        part = part_from_flats(header, pieces, folds, thickness_mm=thickness, base=pieces[0].id)
    except PartFileError as error:
        raise PartFileError([*findings, *error.findings]) from None
    findings += _checked(part, bent, [bend.number for bend, _ in order], said, sizes)
    return part, findings


def _from_the_base(joined: Sequence[Jointed]) -> list[Jointed]:
    """The joints as they lie outward from the base (flat 0), which is the order of the part's bends."""
    reached, out, left = {0}, [], list(joined)
    while left:
        ring = [item for item in left if {item[1].left, item[1].right} & reached]
        if not ring:
            break
        for _, joint in ring:
            reached |= {joint.left, joint.right}
        out += ring
        left = [item for item in left if item not in ring]
    return [*out, *left]


def _labels(bent: Bent, choices: DxfChoices) -> dict[int, list[Label]]:
    """The labels of each bend; mere letters and numbers only where nothing was typed for all lines."""
    factor = bent.flat.mm_per_unit
    typed = choices.default_turned_deg is not None or choices.default_direction is not None
    labels = [label for text in bent.texts if (label := label_of(text, mm_per_unit=factor))]
    return labels_by_bend([label for label in labels if not (label.weak and typed)], bent.bends)


def _thickness(bent: Bent, said: Mapping[int, Said], choices: DxfChoices, findings: list[Finding]) -> float | None:
    """The thickness known, or what tangent lines, radius and K say (D366); D365 when nothing does."""
    if bent.thickness_mm is not None:
        return bent.thickness_mm
    value = thickness_from_zones(bent.bends, said, choices)
    if value is None:
        findings.append(found("D365", where=bent.where))
    else:
        source = "the tangent lines with the radius and K given"
        findings.append(found("D366", where=bent.where, thickness=value, source=phrase(source)))
    return value


def _cut(bent: Bent, sizes: Mapping[int, Allowance], findings: list[Finding]) -> tuple[Split, list[Jointed]]:
    """The sheet cut with the true widths, and each bend with its joint; a bend may have several, beside windows that reach into it."""
    axes = [bend.axis for bend in bent.bends]
    cut = split(bent.flat.sheet.polygon, axes, [sizes[bend.number].width_mm for bend in bent.bends])
    names = [bend.number for bend in bent.bends]
    where = bent.where
    if cut.torn:
        spots = listed(say("drawing.line_at", number=names[n], place=place(spot)) for n, spot in cut.torn)
        findings.append(found("D335", where=where, count=len(cut.torn), ends=spots))
    if cut.overlaps:
        pairs = listed(
            say("drawing.overlap", first=names[i], second=names[j], area=area) for i, j, area in cut.overlaps
        )
        findings.append(found("D336", where=where, count=len(cut.overlaps), pairs=pairs))
    joined: list[Jointed] = []
    lost = []
    for n, bend in enumerate(bent.bends):
        several, _ = joints(cut, n)
        joined += [(bend, joint) for joint in several]
        if not several:
            lost.append(say("drawing.with_zone", line=bend.words, width=sizes[bend.number].width_mm))
    if lost:
        raise PartFileError(found("D339", where=where, count=len(lost), lines=listed(lost)))
    _check_tree(cut, joined, where)
    return cut, joined


def _check_tree(cut: Split, joined: Sequence[Jointed], where: str) -> None:
    """Raise D340 for bends that join flats in a ring, D337 for pieces of sheet that no bend joins to the base."""
    groups: list[set[int]] = [{n} for n in range(len(cut.flats))]
    closing = []
    for bend, joint in joined:
        touched = [group for group in groups if group & {joint.left, joint.right}]
        if len(touched) < 2:
            closing.append(bend.words)
        groups = [group for group in groups if group not in touched] + [set().union(*touched)]
    if closing:
        raise PartFileError(found("D340", where=where, count=len(closing), lines=listed(closing)))
    free = [cut.flats[n] for group in groups for n in sorted(group) if 0 not in group]
    if free:
        words = listed(_box_words(flat) for flat in free)
        raise PartFileError(found("D337", where=where, count=len(free), pieces=words))


def _box_words(flat: Polygon) -> str:
    x0, y0, x1, y1 = flat.bounds
    return say("drawing.box_at", width=x1 - x0, height=y1 - y0, place=place((x0, y0)))


def _checked(
    part: Part, bent: Bent, numbers: Sequence[int], said: Mapping[int, Said], sizes: Mapping[int, Allowance]
) -> list[Finding]:
    """The part laid flat again with the sender's own allowances must be the drawing (else D370); then its bends by name (D345).

    ``numbers`` are the lines behind the part's bends.
    """
    try:
        blank = _laid_again(part, numbers, sizes)
    except BendwrightError as error:
        return [found("D370", where=bent.where, difference=unstopped(error.findings[0].sentence))]
    sheet = bent.flat.sheet
    width, height = sheet.outline.size
    off = max(abs(blank.width_mm - width), abs(blank.height_mm - height))
    area = abs(blank.area_mm2 - sheet.area_mm2)
    findings = []
    if off > AGREE_MM or area > AGREE_SHARE * sheet.area_mm2:
        findings.append(found("D370", where=bent.where, difference=say("drawing.off_in_size", mm=off, area=area)))
    rows = [
        say(
            "drawing.bend_is_line",
            bend=bend.id,
            number=n,
            direction=phrase(said[n].direction),
            turned=said[n].turned_deg,
            by=phrase(said[n].by),
            radius=sizes[n].inside_radius_mm,
        )
        for bend, n in zip(part.bends, numbers, strict=True)
    ]
    return [*findings, found("D345", where=bent.where, count=len(part.bends), bends=joined(", ", rows))]


def _laid_again(part: Part, numbers: Sequence[int], sizes: Mapping[int, Allowance]) -> Blank:
    """The blank with the sender's widths."""
    thickness = part.header.thickness_mm
    assert thickness is not None
    own: dict[str, BendSize] = {}
    for bend, number in zip(part.bends, numbers, strict=True):
        size = sizes[number]
        back = setback_mm(
            inside_radius_mm=size.inside_radius_mm,
            thickness_mm=thickness,
            turned_deg=bend.turned_deg,
            measured_to=bend.measured_to,
        )
        own[bend.id] = BendSize(
            bend_id=bend.id,
            inside_radius_mm=size.inside_radius_mm,
            bend_allowance_mm=size.width_mm,
            setback_mm=back,
            bend_deduction_mm=2.0 * back - size.width_mm,
            k_factor=size.k_factor,
            radius_source="drawing",
            allowance_source="drawing",
        )
    return make_blank(part, own, thickness_mm=thickness)
