"""How is a cure put into the job it was found for: by another wish, by a changed part, or only by something the shop has to get first?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from bendwright.part.model import Part
from bendwright.plan.choose import Tooling
from bendwright.plan.cures.records import Cure, CureKind
from bendwright.shop.record_fields import RecordKind
from bendwright.shop.tools import Die, Piece, Punch


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopChange:
    """What has to be in the shop first: a record of that kind and id with other texts in its fields (keys of ``shop.record_fields``), and
    rows more; ``like`` it, a new one.
    """

    kind: RecordKind
    id: str
    like: bool = False
    fields: Mapping[str, str]
    rows: tuple[Mapping[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """A cure as a change of the job's input. ``wishes``: by name, None = left open; ``part``: as drawn, with the cure among its notes;
    ``shop``: what the shop needs first. None and nothing of all three: it has to be done by hand.
    """

    kind: CureKind
    sentence: str
    before: float | None
    after: float | None
    unit: str
    wishes: Mapping[str, str | int | None] | None = None
    part: Part | None = None
    shop: tuple[ShopChange, ...] = ()


def applied(cure: Cure, tooling: Tooling, *, drawn: Part, bent: Part) -> Applied:
    """The cure found for ``bent`` (``drawn`` with its large radii divided into hits) with ``tooling``. A part that was divided is not drawn
    anew here: its changed size has to be typed.
    """
    told = Applied(kind=cure.kind, sentence=cure.sentence, before=cure.before, after=cure.after, unit=cure.unit)
    if cure.kind in ("flange_length", "relief"):
        return replace(told, part=_noted(cure) if drawn.flanges == bent.flanges and drawn.bends == bent.bends else None)
    if cure.kind in ("other_punch", "other_die", "other_brake", "two_set_ups"):
        return replace(told, wishes=_wishes(cure, tooling))
    return replace(
        told, shop=_of_brake(cure) if cure.kind in ("clamp_gap", "finger_contact") else _bought(cure, tooling)
    )


def _noted(cure: Cure) -> Part:
    """The changed part, which says in what it is not as its drawing."""
    words = cure.sentence.partition(";")[0]
    header = replace(cure.part.header, notes=(*cure.part.header.notes, f"Not as drawn: {words}."))
    return replace(cure.part, header=header)


def _wishes(cure: Cure, before: Tooling) -> dict[str, str | int | None]:
    """What is wished other than before."""
    after = cure.tooling
    if cure.kind == "two_set_ups":
        return {"set_ups": 2}
    wishes: dict[str, str | int | None] = {}
    if after.brake.id != before.brake.id:
        wishes["brake"] = after.brake.id
    if after.wished_die != before.wished_die or after.dies != before.dies:
        wishes["die"] = after.wished_die
    if after.punches != before.punches:
        wishes["punch"] = after.punches[0].id if len(after.punches) == 1 else None
    return wishes


def _of_brake(cure: Cure) -> tuple[ShopChange, ...]:
    """Clamps with gaps, or less contact at the fingers, as the fields of the brake."""
    brake = cure.tooling.brake
    if cure.kind == "finger_contact":
        return (
            ShopChange(
                kind="brakes", id=brake.id, fields={"gauge.finger_contact": f"{brake.gauge.finger_contact_mm:g} mm"}
            ),
        )
    clamps = brake.punch_clamps
    if clamps is None:
        return ()
    fields = {
        "punch_held": "clamps",
        "punch_holder_height": "",
        "punch_clamps.height": f"{clamps.height_mm:g} mm",
        "punch_clamps.half_depth": f"{clamps.half_depth_mm:g} mm",
    }
    rows = tuple({"length": f"{piece.length_mm:g} mm", "count": str(piece.count)} for piece in clamps.pieces)
    return (ShopChange(kind="brakes", id=brake.id, fields=fields, rows=rows),)


def _bought(cure: Cure, before: Tooling) -> tuple[ShopChange, ...]:
    """Pieces more of a punch or die, or a punch like one there is."""
    changes = []
    for kind, old, new in (("punches", before.punches, cure.tooling.punches), ("dies", before.dies, cure.tooling.dies)):
        known: dict[str, Punch | Die] = {tool.id: tool for tool in old}
        for tool in new:
            if tool.id in known and tool != known[tool.id]:
                changes += _more_pieces("punches" if kind == "punches" else "dies", known[tool.id], tool)
            elif tool.id not in known and isinstance(tool, Punch):
                changes += _like(tool, before.punches, cure)
    return tuple(changes)


def _more_pieces(kind: RecordKind, old: Punch | Die, new: Punch | Die) -> list[ShopChange]:
    """The pieces a tool has more, all else being the same; end pieces with lower feet are told in words alone."""
    more = new.pieces[len(old.pieces) :]
    if not more or replace(new, pieces=old.pieces) != old or new.pieces[: len(old.pieces)] != old.pieces:
        return []
    return [ShopChange(kind=kind, id=old.id, fields={}, rows=tuple(_row(piece) for piece in more))]


def _row(piece: Piece) -> dict[str, str]:
    return {"length": f"{piece.length_mm:g} mm", "count": str(piece.count)}


def _like(new: Punch, owned: tuple[Punch, ...], cure: Cure) -> list[ShopChange]:
    """A punch to get, as a new one like that it was made from, named by its beginning (``P1 140 mm high``)."""
    model = next((punch for punch in owned if new.id.startswith(f"{punch.id} ")), None)
    if model is None:
        return []
    fields = {"id": new.id, "name": new.id}
    if new.height_mm != model.height_mm:
        fields["height"] = f"{new.height_mm:g} mm"
    elif new.kind == "straight":
        fields["shape.half_width"] = f"{cure.after:g} mm"
    return [ShopChange(kind="punches", id=model.id, like=True, fields=fields)]
