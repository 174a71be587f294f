"""The replay shares no sums with what it replays: it reads plain records and nothing else of the package."""

from __future__ import annotations

import ast

import pytest
from source import PACKAGE, label, modules, tree

RECORDS = {
    "bendwright.findings",
    "bendwright.said",
    "bendwright.part.model",
    "bendwright.part.blank_model",
    "bendwright.plan.result",
    "bendwright.stroke.result",
    "bendwright.shop.brake",
    "bendwright.shop.practice",
    "bendwright.shop.tools",
}
LIBRARIES = {"numpy", "shapely"}
STANDARD = {"__future__", "collections", "dataclasses", "functools", "itertools", "math", "typing"}
OWN = [path for path in modules() if path.parent == PACKAGE / "replay"]


def imported(node: ast.AST) -> list[str]:
    """Modules that an import statement names."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    return [node.module or ""] if isinstance(node, ast.ImportFrom) else []


def allowed(name: str) -> bool:
    """A record, the replay's own room, numpy, shapely, or the standard library."""
    return name in RECORDS or name.startswith("bendwright.replay.") or name.split(".")[0] in LIBRARIES | STANDARD


def test_the_replay_reads_records_only() -> None:
    """No import of geometry, folding, planner or stroke models, nor of another library."""
    assert len(OWN) > 5
    wrong = [
        f"{label(path, node)} imports {name}"
        for path in OWN
        for node in ast.walk(tree(path))
        for name in imported(node)
        if not allowed(name)
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    "name", ["bendwright.part.fold", "bendwright.geometry.kernels", "bendwright.plan.search", "numba"]
)
def test_what_is_replayed_is_not_allowed(name: str) -> None:
    """The rule would see it."""
    assert not allowed(name)


def test_records_call_nothing_of_the_planner() -> None:
    """A record of plan or stroke imports other records, never what fills it."""
    fillers = ("bendwright.geometry", "bendwright.plan.", "bendwright.stroke.")
    for name in ("plan/result.py", "stroke/result.py", "part/model.py", "part/blank_model.py"):
        names = [one for node in ast.walk(tree(PACKAGE / name)) for one in imported(node)]
        own = [one for one in names if one.startswith(fillers)]
        assert set(own) <= {"bendwright.stroke.result", "bendwright.stroke.crown"}
