"""Write a GLB file: the binary form of glTF 2.0, an open standard for shapes that move.

A ``GlbFile`` gathers numbers in three kinds of buffer view (corners, indices, values of animations) and the JSON beside them.
Nothing here knows what is drawn.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from bendwright.geometry.rigid import Array

FLOAT, SHORT, INT = 5126, 5123, 5125
VERTICES, INDICES = 34962, 34963
TRIANGLES, LINES = 4, 1
MAGIC, JSON_CHUNK, BIN_CHUNK = 0x46546C67, 0x4E4F534A, 0x004E4942
Json = dict[str, Any]
Floats = npt.NDArray[np.float32]
Indices = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of numbers stored once, of which accessors may show any stretch: first byte, rows, numbers in a row."""

    offset: int
    rows: Floats


@dataclass(frozen=True, slots=True)
class GlbFile:
    """A file being put together. Indices given back are those of the glTF arrays."""

    json: Json = field(default_factory=dict)
    corners: bytearray = field(default_factory=bytearray)
    shorts: bytearray = field(default_factory=bytearray)
    ints: bytearray = field(default_factory=bytearray)
    values: bytearray = field(default_factory=bytearray)
    known: dict[bytes, int] = field(default_factory=dict)

    def add(self, kind: str, item: Json) -> int:
        """Append to one of the glTF arrays (``nodes``, ``meshes``, ...)."""
        items = self.json.setdefault(kind, [])
        items.append(item)
        return len(items) - 1

    def positions(self, points: Array) -> int:
        """Accessor of corners, shape (n, 3)."""
        data = np.ascontiguousarray(points, dtype=np.float32)
        offset = len(self.corners)
        self.corners.extend(data.tobytes())
        return self._accessor("corners", offset, FLOAT, len(data), "VEC3", _ends(data))

    def indices(self, numbers: Indices) -> int:
        """Accessor of corner numbers."""
        flat = np.asarray(numbers).ravel()
        small = int(flat.max()) < 0xFFFF
        view, name = (self.shorts, "shorts") if small else (self.ints, "ints")
        offset = len(view)
        view.extend(flat.astype(np.uint16 if small else np.uint32).tobytes())
        return self._accessor(name, offset, SHORT if small else INT, len(flat), "SCALAR", {})

    def block(self, rows: Array | Floats) -> Block:
        """Store rows of animation values."""
        data = np.ascontiguousarray(rows, dtype=np.float32)
        offset = len(self.values)
        self.values.extend(data.tobytes())
        return Block(offset, data)

    def shown(self, block: Block, first: int, count: int, kind: str) -> int:
        """Accessor of ``count`` rows of a block from ``first`` on: vectors (``VEC3``, ``VEC4``) or loose numbers (``SCALAR``)."""
        width = block.rows.shape[1]
        numbers = count * width if kind == "SCALAR" else count
        return self._accessor("values", block.offset + 4 * width * first, FLOAT, numbers, kind, {})

    def times(self, seconds: Sequence[float]) -> int:
        """Accessor of key times; equal ones are stored once."""
        data = np.asarray(seconds, dtype=np.float32)
        key = data.tobytes()
        if key not in self.known:
            block = self.block(data[:, None])
            self.known[key] = self._accessor("values", block.offset, FLOAT, len(data), "SCALAR", _ends(data[:, None]))
        return self.known[key]

    def to_bytes(self) -> bytes:
        """The finished file."""
        views = {"corners": self.corners, "shorts": self.shorts, "ints": self.ints, "values": self.values}
        used = [name for name, data in views.items() if data]
        binary, descriptions = bytearray(), []
        for name in used:
            row: Json = {"buffer": 0, "byteOffset": len(binary), "byteLength": len(views[name])}
            if name == "corners":
                row |= {"byteStride": 12, "target": VERTICES}
            elif name != "values":
                row |= {"target": INDICES}
            descriptions.append(row)
            binary.extend(views[name] + b"\0" * (-len(views[name]) % 4))
        document = dict(self.json)
        document["accessors"] = [row | {"bufferView": used.index(row["bufferView"])} for row in self.json["accessors"]]
        document |= {"bufferViews": descriptions, "buffers": [{"byteLength": len(binary)}]}
        text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode()
        text += b" " * (-len(text) % 4)
        head = struct.pack("<III", MAGIC, 2, 12 + 8 + len(text) + 8 + len(binary))
        return head + _chunk(JSON_CHUNK, text) + _chunk(BIN_CHUNK, bytes(binary))

    def _accessor(self, view: str, offset: int, component: int, count: int, kind: str, more: Mapping[str, Any]) -> int:
        row = {"bufferView": view, "byteOffset": offset, "componentType": component, "count": count, "type": kind}
        return self.add("accessors", {**row, **more})


def _chunk(kind: int, data: bytes) -> bytes:
    return struct.pack("<II", len(data), kind) + data


def _ends(data: Floats) -> Json:
    return {"min": [float(v) for v in data.min(axis=0)], "max": [float(v) for v in data.max(axis=0)]}


def quaternion(turn: Array) -> Array:
    """Unit quaternion (x, y, z, w) of a rotation matrix, w >= 0."""
    xx, yy, zz = turn[0, 0], turn[1, 1], turn[2, 2]
    squares = np.array([1.0 + xx - yy - zz, 1.0 - xx + yy - zz, 1.0 - xx - yy + zz, 1.0 + xx + yy + zz])
    most = int(np.argmax(squares))
    off = {(0, 1): turn[1, 0] + turn[0, 1], (0, 2): turn[0, 2] + turn[2, 0], (1, 2): turn[2, 1] + turn[1, 2]}
    off |= {(0, 3): turn[2, 1] - turn[1, 2], (1, 3): turn[0, 2] - turn[2, 0], (2, 3): turn[1, 0] - turn[0, 1]}
    out = np.array([squares[most] if i == most else off[min(i, most), max(i, most)] for i in range(4)])
    out /= np.linalg.norm(out)
    return np.asarray(-out if out[3] < 0.0 else out)


def linear_colour(code: str) -> list[float]:
    """``#rrggbb`` (sRGB) as the linear colour with alpha 1 that glTF materials hold."""
    out = []
    for start in (1, 3, 5):
        value = int(code[start : start + 2], 16) / 255.0
        out.append(round(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4, 6))
    return [*out, 1.0]
