"""Mangled files give findings within a bounded time, and never anything else."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest
from drawn_files import angle_bracket, saved
from mangling import MANGLES, Mangle, read_mangled

RUNS = 14
MOST_SECONDS = 20.0


@pytest.mark.origin("law", "whatever the bytes, a part or findings, in bounded time")
@pytest.mark.parametrize("mangle", MANGLES, ids=lambda mangle: mangle.__name__)
def test_mangled_files(mangle: Mangle, tmp_path: Path) -> None:
    source = angle_bracket()
    space = source.modelspace()
    space.add_spline([(60, 10), (70, 20), (80, 10), (70, 8)])
    space.add_text("UP 90 R2", height=3).set_placement((40, 32))
    source.blocks.new("HOLE").add_circle((0, 0), 2)
    space.add_blockref("HOLE", (80, 45), dxfattribs={"row_count": 2, "row_spacing": 6})
    data = saved(source, tmp_path).read_bytes()
    path = tmp_path / "mangled.dxf"
    for seed in range(RUNS):
        path.write_bytes(mangle(random.Random(seed), data))
        start = time.perf_counter()
        read_mangled(path, section=seed % 4 == 0)
        assert time.perf_counter() - start < MOST_SECONDS
