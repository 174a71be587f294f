"""A profile: legs joined by parallel bends, from its cross-section to a part with frames.

The widest leg is the root (the first of several equal ones), so that flanges hang on both sides of it. The root lies
with the length along x and the section along y, first leg at the bottom: legs typed before the root are children over
its edge y = 0, legs typed after it over its far edge. Up and down are relative to the sheet's top face, whichever leg
is the root. Flanges are called leg1, leg2 ... and bends b1, b2 ... in the order typed; hems are h1 (first leg) and h2.

Inside dimensions become outside ones by pure mould-line geometry with the nominal thickness t: on the inner face of a
bend turned by a the leg is shorter than at its mould line by t tan(a / 2); where the leg is measured to the outer
tangent, the inner tangent is t shorter. So

* between bends to the same side ``inside`` loses both ends' amounts;
* between opposite bends there is no one inside: a face that is inner at one end is outer at the other. There the
  dimension is taken on the ``top`` or the ``bottom`` face, which loses only at the end whose bend closes that face.

These hold exactly for the nominal thickness only; with another sheet the outside dimensions are kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bendwright.findings import Finding, PartFileError, found
from bendwright.part.bend_words import bend_findings, hem_findings
from bendwright.part.model import Bend, Direction, Flange, Header, Part
from bendwright.part.plates import Plate, flange_plate, half_turn, opening_findings, put_opening
from bendwright.part.typed import TypedBend, TypedHem, TypedLeg, TypedOpening
from bendwright.said import figure, phrase

MOST_LEGS = 200


@dataclass(frozen=True, slots=True)
class _Joint:
    """One bend of the chain: between piece ``before`` and piece ``after`` in the order typed."""

    id: str
    bend: TypedBend
    hem: TypedHem | None = None


@dataclass(frozen=True, slots=True)
class _Piece:
    """One flat piece of the chain with its outside length."""

    id: str
    leg_mm: float
    leg: TypedLeg | None = None


def profile_part(
    header: Header,
    *,
    legs: Sequence[TypedLeg],
    bends: Sequence[TypedBend],
    length_mm: float,
    hem_first: TypedHem | None = None,
    hem_last: TypedHem | None = None,
    where: str = "profile",
) -> Part:
    """The part with that cross-section, ``length_mm`` long. Hems may close the free edge of the first and last leg.

    Openings of a leg: ``along`` runs with the length (left = first end with the top face up and the first leg nearest
    the reader), ``across`` from the near end (toward the first leg) or the far end.
    Raises PartFileError with everything that is wrong.
    """
    bad = _chain_findings(legs, bends, length_mm, where)
    if bad:
        raise PartFileError(bad)
    outside = [_outside_mm(header, legs, bends, index, bad) for index in range(len(legs))]
    for index, bend in enumerate(bends):
        bad += bend_findings(bend, (outside[index], outside[index + 1]), header.thickness_mm, bend.where or where)
    for hem, leg in ((hem_first, outside[0]), (hem_last, outside[-1])):
        bad += hem_findings(hem, leg) if hem else []
    if bad:
        raise PartFileError(bad)
    pieces = [_Piece(f"leg{index + 1}", outside[index], leg) for index, leg in enumerate(legs)]
    joints = [_Joint(f"b{index + 1}", bend) for index, bend in enumerate(bends)]
    root = max(range(len(pieces)), key=lambda index: pieces[index].leg_mm)
    if hem_last:
        both = hem_first is not None and len(legs) == 1
        pieces.append(_Piece(f"{pieces[-1].id}.hem{2 if both else ''}", hem_last.length_mm))
        joints.append(_Joint("h2", hem_bend(hem_last), hem_last))
    if hem_first:
        pieces.insert(0, _Piece(f"{pieces[0].id}.hem", hem_first.length_mm))
        joints.insert(0, _Joint("h1", hem_bend(hem_first), hem_first))
        root += 1
    return _part(header, pieces, joints, root, length_mm)


def hem_bend(hem: TypedHem) -> TypedBend:
    """The 180-degree bend of a hem, measured to its outer tangent."""
    return TypedBend(direction=hem.direction, turned_deg=180.0, measured_to="outer_tangent", where=hem.where)


def lost_mm(bend: TypedBend, *, thickness_mm: float) -> float:
    """How much shorter a leg is on the inner face of a bend than where its outside dimension ends [mm]."""
    if bend.leg_measure == "outer_tangent":
        return thickness_mm
    return thickness_mm * math.tan(math.radians(bend.turned_deg) / 2.0)


def _chain_findings(
    legs: Sequence[TypedLeg], bends: Sequence[TypedBend], length_mm: float, where: str
) -> list[Finding]:
    bad: list[Finding] = []
    if len(legs) < 1 or len(bends) != len(legs) - 1:
        bad.append(found("P120", where=where, legs=len(legs), bends=len(bends), wanted=max(0, len(legs) - 1)))
    if len(legs) > MOST_LEGS:
        bad.append(found("P121", where=where, what=phrase("legs"), count=len(legs), most=MOST_LEGS))
    sizes = [(f"leg {index + 1}", leg.length_mm, leg.where) for index, leg in enumerate(legs)]
    for name, value, place in [*sizes, ("length", length_mm, where)]:
        if not (math.isfinite(value) and value > 0):
            bad.append(found("P122", where=place or where, what=phrase(name), value=figure(f"{value:g}")))
    return bad


def _outside_mm(
    header: Header, legs: Sequence[TypedLeg], bends: Sequence[TypedBend], index: int, bad: list[Finding]
) -> float:
    """Outside length of a leg from the face it was measured on; adds to ``bad`` what forbids it."""
    leg = legs[index]
    if leg.measured == "outside":
        return leg.length_mm
    ends = [*bends[max(0, index - 1) : index], *bends[index : index + 1]]
    if header.thickness_mm is None:
        bad.append(found("P123", where=leg.where, leg=index + 1, measured=phrase(leg.measured)))
        return leg.length_mm
    sides = {bend.direction for bend in ends}
    if leg.measured == "inside" and len(sides) > 1:
        bad.append(found("P124", where=leg.where, leg=index + 1))
        return leg.length_mm
    inner: Direction = "up" if leg.measured == "top" else "down"
    losing = [bend for bend in ends if leg.measured == "inside" or bend.direction == inner]
    too_far = [bend for bend in losing if not 0.0 < bend.turned_deg < 180.0]
    if too_far:
        return leg.length_mm
    return leg.length_mm + sum(lost_mm(bend, thickness_mm=header.thickness_mm) for bend in losing)


def _part(header: Header, pieces: Sequence[_Piece], joints: Sequence[_Joint], root: int, length_mm: float) -> Part:
    """Frames and openings. Pieces after the root keep its left, pieces before it are seen turned by 180 degrees."""
    bad: list[Finding] = []
    flanges = {
        index: _flange(piece, flange_plate(width_mm=length_mm, leg_mm=piece.leg_mm), index < root, bad)
        for index, piece in enumerate(pieces)
    }
    if bad:
        raise PartFileError(bad)
    after = [_bend(joints[i], pieces[i], pieces[i + 1], i == root, length_mm, True) for i in range(root, len(joints))]
    before = [
        _bend(joints[i], pieces[i + 1], pieces[i], i + 1 == root, length_mm, False) for i in reversed(range(root))
    ]
    order = [root, *reversed(range(root)), *range(root + 1, len(pieces))]
    return Part(header=header, flanges=tuple(flanges[index] for index in order), bends=(*before, *after), profile=True)


def _flange(piece: _Piece, plate: Plate, turned: bool, bad: list[Finding]) -> Flange:
    leg = piece.leg
    openings = leg.openings if leg else ()
    placed = [put_opening(_seen_turned(opening) if turned else opening, plate) for opening in openings]
    bad += opening_findings(plate.points, [(f, o.where) for f, o in zip(placed, openings, strict=True)])
    return Flange(
        id=piece.id,
        outline=plate.points,
        features=tuple(placed),
        tolerance=leg.tolerance if leg else None,
        fit=leg.fit if leg else False,
    )


def _seen_turned(opening: TypedOpening) -> TypedOpening:
    """The same opening as seen after turning the plate by 180 degrees: its ends change names, its shape turns."""
    return replace(
        opening,
        shape=half_turn(opening.shape),
        along_from="right" if opening.along_from == "left" else "left",
        across_from="far" if opening.across_from == "near" else "near",
    )


def _bend(joint: _Joint, parent: _Piece, child: _Piece, at_root: bool, length_mm: float, later: bool) -> Bend:
    """A later bend and every bend away from the root sits on its parent's far edge; the first earlier one on y = 0."""
    far = ((length_mm, parent.leg_mm), (0.0, parent.leg_mm))
    start, end = ((0.0, 0.0), (length_mm, 0.0)) if at_root and not later else far
    hem = joint.hem
    return Bend(
        id=joint.id,
        parent=parent.id,
        child=child.id,
        start=start,
        end=end,
        turned_deg=joint.bend.turned_deg,
        direction=joint.bend.direction,
        measured_to=joint.bend.leg_measure,
        drawn_radius_mm=joint.bend.radius_mm,
        kind=hem.kind if hem else "bend",
        hem_gap_mm=hem.gap_mm if hem else None,
    )
