"""What any GLB file is written with: turns, colours, numbers of corners."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bendwright.drawing.glb import GlbFile, linear_colour, quaternion
from bendwright.geometry.rigid import about_line
from out.glb_reader import check, parse


@pytest.mark.origin("derived", "a turn by a about a unit axis n is (n sin a/2, cos a/2); sRGB 0.5 is linear 0.2140")
def test_quaternions_and_colours() -> None:
    """Every kind of rotation, half turns about each axis among them; black, white and middle grey."""
    for axis in (*np.eye(3), np.array([0.6, 0.0, 0.8]), np.array([-1.0, 2.0, 2.0]) / 3.0):
        for turned in (0.0, 0.3, 1.6, 3.0, math.pi):
            got = quaternion(about_line(np.zeros(3), axis, turned).turn)
            want = np.array([*(axis * math.sin(0.5 * turned)), math.cos(0.5 * turned)])
            assert min(np.abs(got - want).max(), np.abs(got + want).max()) < 1e-7
    assert linear_colour("#000000") == [0.0, 0.0, 0.0, 1.0]
    assert linear_colour("#ff8000") == pytest.approx([1.0, 0.215861, 0.0, 1.0], abs=1e-6)


@pytest.mark.origin("printed", "glTF 2.0: 16-bit indices end below 65535; larger meshes need 32 bits")
def test_large_meshes() -> None:
    """More corners than 16 bits count are stored with 32-bit indices, and both kinds stand in one file."""
    file = GlbFile()
    file.json.update({"asset": {"version": "2.0"}, "scene": 0})
    file.add("materials", {"pbrMetallicRoughness": {"baseColorFactor": [1.0, 1.0, 1.0, 1.0]}})
    for count in (3, 70_000):
        points = np.random.default_rng(1).normal(size=(count, 3))
        row = {"attributes": {"POSITION": file.positions(points)}, "mode": 4, "material": 0}
        numbers = np.arange(count - count % 3).reshape(-1, 3)
        mesh = file.add("meshes", {"primitives": [row | {"indices": file.indices(numbers)}]})
        file.add("nodes", {"name": f"of {count}", "mesh": mesh})
    file.add("scenes", {"nodes": [0, 1]})
    glb = parse(file.to_bytes())
    check(glb)
    kinds = [glb.json["accessors"][mesh["primitives"][0]["indices"]]["componentType"] for mesh in glb.json["meshes"]]
    assert kinds == [5123, 5125]
