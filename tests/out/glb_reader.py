"""Read a GLB file by the letter of the glTF 2.0 specification: check its structure, and say where every corner is at a time.

Written from the specification alone; it shares no code with the writer.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
COMPONENTS = {5120: (np.int8, 1), 5121: (np.uint8, 1), 5122: (np.int16, 2), 5123: (np.uint16, 2), 5125: (np.uint32, 4)}
COMPONENTS |= {5126: (np.float32, 4)}
WIDTHS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4, "MAT4": 16}
PATHS = {"translation": "VEC3", "rotation": "VEC4", "scale": "VEC3", "weights": "SCALAR"}


@dataclass(frozen=True)
class Glb:
    """A file taken apart: its JSON and its numbers."""

    json: dict[str, Any]
    binary: bytes

    def accessor(self, number: int) -> npt.NDArray[Any]:
        """The numbers of an accessor, one row each (loose ones flat)."""
        row = self.json["accessors"][number]
        view = self.json["bufferViews"][row["bufferView"]]
        kind, size = COMPONENTS[row["componentType"]]
        width, count = WIDTHS[row["type"]], row["count"]
        start = view.get("byteOffset", 0) + row.get("byteOffset", 0)
        stride = view.get("byteStride", width * size)
        last = row.get("byteOffset", 0) + stride * (count - 1) + width * size
        assert last <= view["byteLength"], f"accessor {number} leaves its view"
        assert start % size == 0, f"accessor {number} is not aligned"
        if stride == width * size:
            data = np.frombuffer(self.binary, kind, count * width, start)
        else:
            rows = [np.frombuffer(self.binary, kind, width, start + stride * i) for i in range(count)]
            data = np.concatenate(rows)
        return data if width == 1 else data.reshape(count, width)

    def animation(self, name: str) -> dict[str, Any]:
        """The animation of that name."""
        return next(item for item in self.json["animations"] if item["name"] == name)

    def node(self, name: str) -> int:
        """The number of the node of that name."""
        return [item.get("name") for item in self.json["nodes"]].index(name)


def parse(data: bytes) -> Glb:
    """Take the container apart, checking it."""
    magic, version, length = struct.unpack_from("<III", data)
    assert (magic, version, length) == (0x46546C67, 2, len(data))
    assert length % 4 == 0
    size, kind = struct.unpack_from("<II", data, 12)
    assert kind == 0x4E4F534A
    assert size % 4 == 0
    document = json.loads(data[20 : 20 + size].decode("utf-8"), parse_constant=lambda name: 1 / 0)
    start = 20 + size
    size, kind = struct.unpack_from("<II", data, start)
    assert kind == 0x004E4942
    assert start + 8 + size == len(data)
    (buffer,) = document["buffers"]
    assert "uri" not in buffer
    assert 0 <= size - buffer["byteLength"] <= 3
    return Glb(document, data[start + 8 :])


def check(glb: Glb) -> None:
    """Everything the specification asks of views, accessors, meshes, nodes, scenes and animations."""
    document = glb.json
    assert document["asset"]["version"] == "2.0"
    assert not document.get("extensionsRequired")
    for view in document["bufferViews"]:
        assert view["buffer"] == 0
        assert view["byteLength"] >= 1
        assert view.get("byteOffset", 0) + view["byteLength"] <= document["buffers"][0]["byteLength"]
        assert view.get("byteStride", 4) % 4 == 0
        assert 4 <= view.get("byteStride", 4) <= 252
    for number, row in enumerate(document["accessors"]):
        data = glb.accessor(number)
        assert row["count"] >= 1
        assert np.isfinite(data).all()
        for name, end in (("min", data.min(axis=0)), ("max", data.max(axis=0))):
            if name in row:
                assert np.array_equal(np.atleast_1d(end), np.array(row[name], dtype=data.dtype))
    _check_meshes(glb)
    _check_nodes(glb)
    for animation in document.get("animations", []):
        _check_animation(glb, animation)


def _check_meshes(glb: Glb) -> None:
    document = glb.json
    for material in document.get("materials", []):
        colour = material["pbrMetallicRoughness"]["baseColorFactor"]
        assert len(colour) == 4
        assert all(0.0 <= value <= 1.0 for value in colour)
    for mesh in document["meshes"]:
        assert mesh["primitives"]
        counts = {len(primitive.get("targets", [])) for primitive in mesh["primitives"]}
        assert len(counts) == 1
        assert len(mesh.get("weights", [])) == counts.pop()
        for primitive in mesh["primitives"]:
            position = primitive["attributes"]["POSITION"]
            corners = document["accessors"][position]["count"]
            for number in (position, *(target["POSITION"] for target in primitive.get("targets", []))):
                row = document["accessors"][number]
                assert (row["componentType"], row["type"], row["count"]) == (5126, "VEC3", corners)
                assert {"min", "max"} <= row.keys()
                view = document["bufferViews"][row["bufferView"]]
                assert view["target"] == 34962
                assert view["byteStride"] == 12
                assert row.get("byteOffset", 0) % 4 == 0
            indices = glb.accessor(primitive["indices"])
            row = document["accessors"][primitive["indices"]]
            assert row["componentType"] in (5121, 5123, 5125)
            assert document["bufferViews"][row["bufferView"]]["target"] == 34963
            assert indices.max() < corners
            assert indices.max() < {5121: 0xFF, 5123: 0xFFFF, 5125: 0xFFFFFFFF}[row["componentType"]]
            assert len(indices) % {4: 3, 1: 2}[primitive["mode"]] == 0
            assert 0 <= primitive["material"] < len(document["materials"])


def _check_nodes(glb: Glb) -> None:
    nodes = glb.json["nodes"]
    children = [child for node in nodes for child in node.get("children", [])]
    assert len(children) == len(set(children))
    roots = glb.json["scenes"][glb.json["scene"]]["nodes"]
    assert not set(roots) & set(children)
    reached, waiting = set(), list(roots)
    while waiting:
        number = waiting.pop()
        assert number not in reached
        reached.add(number)
        waiting += nodes[number].get("children", [])
    assert reached == set(range(len(nodes)))
    names = [node["name"] for node in nodes]
    assert len(names) == len(set(names))
    for node in nodes:
        assert "matrix" not in node
        assert abs(np.linalg.norm(node.get("rotation", [0, 0, 0, 1])) - 1.0) < 1e-6
        assert 0 <= node.get("mesh", 0) < len(glb.json["meshes"])


def _check_animation(glb: Glb, animation: dict[str, Any]) -> None:
    document = glb.json
    assert animation["channels"]
    targets = [(channel["target"]["node"], channel["target"]["path"]) for channel in animation["channels"]]
    assert len(targets) == len(set(targets))
    for channel in animation["channels"]:
        sampler, path = animation["samplers"][channel["sampler"]], channel["target"]["path"]
        times, values = glb.accessor(sampler["input"]), glb.accessor(sampler["output"])
        row, out = document["accessors"][sampler["input"]], document["accessors"][sampler["output"]]
        assert (row["componentType"], row["type"], out["componentType"]) == (5126, "SCALAR", 5126)
        assert {"min", "max"} <= row.keys()
        assert times[0] >= 0.0
        assert (np.diff(times) > 0.0).all()
        assert "target" not in document["bufferViews"][out["bufferView"]]
        assert out["type"] == PATHS[path]
        node = document["nodes"][channel["target"]["node"]]
        each = len(document["meshes"][node["mesh"]]["weights"]) if path == "weights" else 1
        assert out["count"] == len(times) * each
        assert sampler["interpolation"] in ("LINEAR", "STEP")
        if path == "rotation":
            assert np.abs(np.linalg.norm(values, axis=1) - 1.0).max() < 1e-5
            turned = 2.0 * np.arccos(np.clip(np.abs((values[1:] * values[:-1]).sum(axis=1)), 0.0, 1.0))
            assert (turned <= np.pi / 2.0).all(), "a key at least every quarter turn"


def state(glb: Glb, animation: dict[str, Any] | None, seconds: float) -> dict[tuple[int, str], Array]:
    """Values of all moved properties at a time; before the first and after the last key those hold."""
    out: dict[tuple[int, str], Array] = {}
    for channel in animation["channels"] if animation else []:
        sampler = animation["samplers"][channel["sampler"]]  # type: ignore[index]
        times = glb.accessor(sampler["input"]).astype(np.float64)
        values = glb.accessor(sampler["output"]).astype(np.float64).reshape(len(times), -1)
        place = channel["target"]["node"], channel["target"]["path"]
        i = int(np.searchsorted(times, seconds, side="right")) - 1
        if i < 0 or i >= len(times) - 1:
            out[place] = values[max(i, 0) if i < 0 else -1]
        elif sampler["interpolation"] == "STEP":
            out[place] = values[i]
        else:
            share = (seconds - times[i]) / (times[i + 1] - times[i])
            between = _slerp if place[1] == "rotation" else _lerp
            out[place] = between(values[i], values[i + 1], share)
    return out


def _lerp(first: Array, last: Array, share: float) -> Array:
    return first + share * (last - first)


def _slerp(first: Array, last: Array, share: float) -> Array:
    cosine = float(first @ last)
    last, cosine = (last, cosine) if cosine >= 0.0 else (-last, -cosine)
    turned = np.arccos(min(cosine, 1.0))
    if turned < 1e-9:
        return first
    return np.asarray((np.sin((1.0 - share) * turned) * first + np.sin(share * turned) * last) / np.sin(turned))


def worlds(glb: Glb, moved: dict[tuple[int, str], Array]) -> dict[int, Array]:
    """World matrix (4 x 4) of every node."""
    out: dict[int, Array] = {}
    waiting = [(number, np.eye(4)) for number in glb.json["scenes"][glb.json["scene"]]["nodes"]]
    while waiting:
        number, above = waiting.pop()
        node = glb.json["nodes"][number]
        own = {
            path: moved.get((number, path), np.array(node.get(path, rest), dtype=float)) for path, rest in RESTS.items()
        }
        local = np.eye(4)
        local[:3, :3] = _matrix(own["rotation"]) * own["scale"]
        local[:3, 3] = own["translation"]
        out[number] = above @ local
        waiting += [(child, out[number]) for child in node.get("children", [])]
    return out


RESTS = {"translation": (0.0, 0.0, 0.0), "rotation": (0.0, 0.0, 0.0, 1.0), "scale": (1.0, 1.0, 1.0)}


def _matrix(q: Array) -> Array:
    x, y, z, w = q / np.linalg.norm(q)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


def corners(glb: Glb, number: int, moved: dict[tuple[int, str], Array], frame: Array) -> Array:
    """Corners of a node's mesh with its morph targets, placed by a matrix, shape (n, 3)."""
    mesh = glb.json["meshes"][glb.json["nodes"][number]["mesh"]]
    primitive = mesh["primitives"][0]
    points = glb.accessor(primitive["attributes"]["POSITION"]).astype(np.float64)
    weights = moved.get((number, "weights"), np.array(mesh.get("weights", [])))
    for weight, target in zip(weights, primitive.get("targets", []), strict=True):
        if weight:
            points = points + weight * glb.accessor(target["POSITION"]).astype(np.float64)
    return np.asarray(points @ frame[:3, :3].T + frame[:3, 3])
