"""From keys to animations: one for each stroke, and one over all of them that shares their numbers.

A ``Track`` is what moves one property of one node during one stroke; what stands still in a stroke keeps the last value of the
strokes before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bendwright.drawing.glb import Block, GlbFile, Json
from bendwright.geometry.rigid import Array

Path = Literal["translation", "rotation", "scale", "weights"]
Place = tuple[int, Path]
"""A node and the property of it that moves."""
WHOLE = "whole plan"
KINDS: dict[Path, str] = {"translation": "VEC3", "rotation": "VEC4", "scale": "VEC3", "weights": "SCALAR"}
STRAIGHT = 1e-7
"""A key may go that lies nearer to the straight way between its neighbours [mm, -]."""


@dataclass(frozen=True, slots=True)
class Track:
    """Keys of one property: seconds from the stroke's beginning, rows of values; ``jumps``: it holds each until the next."""

    seconds: tuple[float, ...]
    rows: Array
    jumps: bool = False


@dataclass(frozen=True, slots=True)
class Clip:
    """One stroke: its name, length [s], what moves, and what a viewer may want to say of it."""

    name: str
    seconds: float
    tracks: Mapping[Place, Track]
    extras: Json


@dataclass(frozen=True, slots=True)
class _Joined:
    """One property over all strokes: stored rows, seconds from the beginning of the plan, and which rows are whose."""

    block: Block
    seconds: tuple[float, ...]
    spans: dict[int, tuple[int, int]]
    jumps: bool


def add_clips(file: GlbFile, clips: Sequence[Clip]) -> None:
    """Add an animation for every clip, then the one over all; the nodes stand as the first clip begins."""
    starts = [sum(clip.seconds for clip in clips[:i]) for i in range(len(clips))]
    places = list(dict.fromkeys(place for clip in clips for place in clip.tracks))
    joined = {place: _join(file, place, clips, starts) for place in places}
    for (node, path), track in clips[0].tracks.items():
        if path != "weights":
            file.json["nodes"][node][path] = track.rows[0].tolist()
    for number, clip in enumerate(clips):
        channels: list[tuple[Place, int, int, bool]] = []
        for place, whole in joined.items():
            earlier = [own for own in whole.spans if own <= number]
            if earlier:
                first, last = whole.spans[max(earlier)]
                first = first if max(earlier) == number else last
                values = file.shown(whole.block, first, last - first + 1, KINDS[place[1]])
                seconds = tuple(t - starts[number] for t in whole.seconds[first : last + 1])
                channels.append((place, file.times(seconds if len(seconds) > 1 else (0.0,)), values, whole.jumps))
        _add(file, clip.name, channels, {**clip.extras, "starts_s": round(starts[number], 4)})
    over_all = [
        (place, file.times(whole.seconds), file.shown(whole.block, 0, len(whole.seconds), KINDS[place[1]]), whole.jumps)
        for place, whole in joined.items()
    ]
    _add(file, WHOLE, over_all, {"strokes": len(clips)})


def _add(file: GlbFile, name: str, channels: Sequence[tuple[Place, int, int, bool]], extras: Json) -> None:
    samplers: list[Json] = []
    rows: list[Json] = []
    for (node, path), seconds, values, jumps in channels:
        rows.append({"sampler": len(samplers), "target": {"node": node, "path": path}})
        samplers.append({"input": seconds, "output": values, "interpolation": "STEP" if jumps else "LINEAR"})
    file.add("animations", {"name": name, "channels": rows, "samplers": samplers, "extras": extras})


def _join(file: GlbFile, place: Place, clips: Sequence[Clip], starts: Sequence[float]) -> _Joined:
    seconds: list[float] = []
    rows: list[Array] = []
    spans: dict[int, tuple[int, int]] = {}
    jumps = False
    for number, clip in enumerate(clips):
        if place not in clip.tracks:
            continue
        track = _thinned(clip.tracks[place])
        jumps = jumps or track.jumps
        own = [starts[number] + t for t in track.seconds]
        again = bool(seconds) and own[0] <= seconds[-1] + 1e-6
        first = len(seconds) - 1 if again else len(seconds)
        for t, row in list(zip(own, track.rows, strict=True))[1 if again else 0 :]:
            seconds.append(t)
            rows.append(_same_way(rows[-1], row) if rows and place[1] == "rotation" else row)
        spans[number] = (first, len(seconds) - 1)
    return _Joined(file.block(np.array(rows)), tuple(seconds), spans, jumps)


def _same_way(before: Array, row: Array) -> Array:
    """The quaternion of the two for one rotation that lies nearer to the one before."""
    return -row if float(before @ row) < 0.0 else row


def _thinned(track: Track) -> Track:
    """The track without keys that lie on the straight way between their neighbours, as where a thing stands still."""
    if track.jumps or len(track.seconds) < 3:
        return track
    seconds, rows = np.array(track.seconds), track.rows
    shares = (seconds[1:-1] - seconds[:-2]) / (seconds[2:] - seconds[:-2])
    off = np.abs(rows[:-2] + shares[:, None] * (rows[2:] - rows[:-2]) - rows[1:-1]).max(axis=1)
    kept = np.concatenate([[True], off > STRAIGHT, [True]])
    return Track(tuple(seconds[kept].tolist()), rows[kept], track.jumps)
