"""The tree: who may import whom, and how big a room may be."""

from __future__ import annotations

import ast

import pytest
from source import FUNCTIONS, PACKAGE, label, module_name, modules, tree

RUNGS = {
    "__init__": 0,
    "said": -1,
    "findings": 0,
    "kept_code": 0,
    "compiled": 0.5,
    "quantities": 0.5,
    "geometry": 1,
    "strip": 0.8,
    "mechanics": 1,
    "typed": 1,
    "shop": 2,
    "part": 3,
    "stroke": 4,
    "doubt": 4.5,
    "plan": 5,
    "makeable": 5.5,
    "replay": 5.6,
    "cost": 6,
    "trial": 6,
    "drawing": 7,
    "sheets": 7,
    "store": 7,
    "validation": 8,
    "job": 8,
    "wanted": 8.5,
    "first_use": 8.5,
    "bench": 9,
    "cli": 9.5,
    "__main__": 10,
}
MOST_LINES_OF_A_MODULE = 400
MOST_LINES_OF_A_FUNCTION = 50
MODULES = {module_name(path): path for path in modules()}


def room(module: str) -> str:
    """The package or top module a module belongs to: ``shop`` for ``bendwright.shop.tools``."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def own_imports(module: str) -> dict[str, int]:
    """Modules of the package that ``module`` imports anywhere in its text, with the line; lazy imports count too."""
    found: dict[str, int] = {}
    for node in ast.walk(tree(MODULES[module])):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{label(MODULES[module], node)}: write imports in full"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        for name in names:
            while name.startswith("bendwright") and name not in MODULES:
                name = name.rpartition(".")[0]
            if name.startswith("bendwright"):
                found[name] = node.lineno
    return found


def test_every_room_has_a_rung() -> None:
    """A new package must be given its place in the tree before it is used."""
    assert {room(module) for module in MODULES} == set(RUNGS)


def test_imports_point_downward() -> None:
    """A package imports from lower rungs only, never from a sibling on its own rung."""
    wrong = [
        f"{label(MODULES[module])}:{line} imports {other}"
        for module in MODULES
        for other, line in own_imports(module).items()
        if room(other) != room(module) and RUNGS[room(other)] >= RUNGS[room(module)]
    ]
    assert not wrong, "\n".join(wrong)


def test_no_circular_imports() -> None:
    """Taking away modules that import nothing left, again and again, leaves nothing."""
    left = {module: {other for other in own_imports(module) if other != module} for module in MODULES}
    while free := [module for module, needs in left.items() if not needs & left.keys()]:
        for module in free:
            del left[module]
    assert sorted(left) == []


def test_modules_stay_small() -> None:
    """No module grows beyond what can be read in one sitting."""
    sizes = {label(path): len(path.read_text(encoding="utf-8").splitlines()) for path in modules()}
    assert {name: size for name, size in sizes.items() if size > MOST_LINES_OF_A_MODULE} == {}


def test_functions_stay_small() -> None:
    """No function grows beyond one screen, its docstring included."""
    long = [
        f"{label(path, node)} {node.name}: {node.end_lineno - node.lineno + 1} lines"
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, FUNCTIONS) and node.end_lineno - node.lineno + 1 > MOST_LINES_OF_A_FUNCTION
    ]
    assert not long, "\n".join(long)


@pytest.mark.parametrize("heavy", ["numba", "shapely", "ezdxf", "typst", "rich", "segno"])
def test_heavy_libraries_are_imported_where_they_are_used(heavy: str) -> None:
    """Slow libraries are no business of the command line and of the plain records: they answer at once."""
    light = ["__main__.py", "findings.py", "quantities.py", "job.py"]
    light_paths = [PACKAGE / name for name in light] + sorted((PACKAGE / "cli").glob("*.py"))
    wrong = [
        label(path, node)
        for path in light_paths
        for node in tree(path).body
        if isinstance(node, ast.Import | ast.ImportFrom)
        and heavy
        in {name.split(".")[0] for name in [getattr(node, "module", None) or "", *(a.name for a in node.names)]}
    ]
    assert not wrong, "\n".join(wrong)
