"""What hangs around one stroke: punch stacks, clamps, ram, die stacks, holder and bed, as sections with their stretch of the bed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.said import joined, phrase, say
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Cabinet, Ear, Punch
from bendwright.stroke.result import Stroke

FAR_MM = 5000.0
EAR = " ear "


@dataclass(frozen=True, slots=True)
class Tool:
    """A section in the punch frame (what rises: die top of the stroke's own die at y = 0), its stretch along the bed in the
    stroke's Z [mm], and how much room its ends must leave to what stands beside them.
    """

    name: str
    role: str
    shape: shapely.Polygon
    rises: bool
    low_z: float = -FAR_MM
    high_z: float = FAR_MM
    room: float = 0.0


@dataclass(frozen=True, slots=True)
class Bench:
    """Cabinet, brake and the room at stack ends the shop asks for [mm]."""

    cabinet: Cabinet
    brake: Brake
    room: float

    def around(self, stroke: Stroke, plan: Plan, left: float) -> list[Tool]:
        """All tools of the set-up as this stroke meets them; ``left`` is the Z of the bend's left end."""
        own = plan.stations[stroke.station - 1]
        shift = left + stroke.stack_from_mm - own.left_end_z_mm
        hanging = [own] + [s for s in plan.stations if s.set_up == own.set_up and s.number != own.number]
        out = [tool for station in hanging for tool in self.station(station, own, stroke, shift)]
        return [*out, *self.machine(own)]

    def station(self, station: Station, own: Station, stroke: Stroke, shift: float) -> Iterator[Tool]:
        """Punch parts, clamps and die of one station, at their heights beside the stroke's own tools."""
        mine = station.number == own.number
        punch = self.cabinet.punch(stroke.punch_id if mine else station.punch_id)
        die = self.cabinet.die(stroke.die_id if mine else station.die_id)
        turned = stroke.punch_turned if mine else station.punch_turned
        start, of = station.left_end_z_mm + shift, "" if mine else say("replay.of_station", number=station.number)
        lift = self.cabinet.punch(stroke.punch_id).height_mm - punch.height_mm
        room = self.room if mine else 0.0
        for name, shape, low, high in punch_parts(punch, station.punch_pieces, turned=turned):
            moved = shapely.affinity.translate(shape, 0.0, lift)
            yield Tool(joined("", (phrase(name), of)), "punch", moved, False, start + low, start + high, room)
        yield from self.clamps(station, punch.height_mm + lift, start)
        below = sum(piece.length_mm for piece in station.die_pieces)
        lift = die.height_mm - self.cabinet.die(stroke.die_id).height_mm
        shape = shapely.affinity.translate(shapely.Polygon(die.outline), 0.0, lift)
        yield Tool(joined("", (phrase(f"die {die.id}"), of)), "die", shape, True, start, start + below, room)

    def clamps(self, station: Station, shoulder: float, start: float) -> Iterator[Tool]:
        """Clamps over a punch stack, from the punch's shoulder up; over the whole of it where the plan sets none."""
        held = getattr(self.brake, "punch_clamps", None)
        if held is None:
            return
        box = shapely.box(-held.half_depth_mm, shoulder, held.half_depth_mm, shoulder + held.height_mm)
        places = [(clamp.from_mm, clamp.length_mm) for clamp in station.clamps] or [(0.0, station.length_mm)]
        for low, length in places:
            yield Tool("clamp", "clamp", box, False, start + low, start + low + length)

    def machine(self, own: Station) -> Iterator[Tool]:
        """Ram above punch and clamps; holder and bed below the die. What nobody has measured is left out."""
        brake = self.brake
        held = getattr(brake, "punch_clamps", None)
        top = self.cabinet.punch(own.punch_id).height_mm + (held.height_mm if held is not None else 0.0)
        if brake.ram_half_depth_mm is not None:
            half = brake.ram_half_depth_mm
            yield Tool("ram", "ram", shapely.box(-half, top, half, top + FAR_MM), False)
        below = -self.cabinet.die(own.die_id).height_mm
        width = getattr(brake, "die_holder_width_mm", None)
        if width is not None and brake.die_holder_height_mm:
            low = below - brake.die_holder_height_mm
            yield Tool("die holder", "bed", shapely.box(-width / 2, low, width / 2, below), True)
            below = low
        if brake.table_width_mm is not None:
            half = brake.table_width_mm / 2
            yield Tool("bed", "bed", shapely.box(-half, below - FAR_MM, half, below), True)


def punch_parts(
    punch: Punch, pieces: tuple[PickedPiece, ...], *, turned: bool
) -> Iterator[tuple[str, shapely.Polygon, float, float]]:
    """Name, section and reach from the stack's left end: the whole punch where bodies hang, the feet of eared pieces beside them.

    An ear is relieved at its own side as the operator sees a punch hung straight; hung the other way round it is the other side.
    """
    sign = -1.0 if turned else 1.0
    whole = shapely.Polygon([(sign * x, y) for x, y in punch.outline])
    bodies: list[list[float]] = []
    at = 0.0
    for piece in pieces:
        low, high, end = at, at + piece.length_mm, at + piece.length_mm
        ear = ear_of(punch, piece.label)
        if ear is not None:
            at_left = (ear.side == "left") != turned
            edge = (low, low + ear.overhang_mm) if at_left else (high - ear.overhang_mm, high)
            low, high = (edge[1], high) if at_left else (low, edge[0])
            foot = whole.intersection(shapely.box(-FAR_MM, -FAR_MM, FAR_MM, ear.foot_height_mm))
            if isinstance(foot, shapely.Polygon):
                yield say("replay.ear_foot", punch=punch.id), foot, *edge
        if bodies and abs(bodies[-1][1] - low) < 1e-6:
            bodies[-1][1] = high
        else:
            bodies.append([low, high])
        at = end
    for low, high in bodies:
        yield f"punch {punch.id}", whole, low, high


def ear_of(punch: Punch, label: str) -> Ear | None:
    """The ear of a piece by its label on the pick list; of several the one that reaches least; None for a plain piece."""
    length, _, side = label.partition(EAR)
    ears = [p.ear for p in punch.pieces if p.ear is not None and p.ear.side == side and f"{p.length_mm:g}" == length]
    return min(ears, key=lambda ear: (ear.overhang_mm, -ear.foot_height_mm)) if ears else None
