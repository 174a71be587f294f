"""Names: everything public is explained, records are frozen, and two numbers cannot be swapped unseen."""

from __future__ import annotations

import ast

from source import FUNCTIONS, PACKAGE, label, modules, public_definitions, tree

UNITS = (
    "mm",
    "mm2",
    "mm3",
    "mm4",
    "m",
    "deg",
    "rad",
    "mpa",
    "kn",
    "n",
    "n_mm",
    "n_per_mm",
    "kn_per_m",
    "mm_per_s",
    "m_per_s",
    "mm_per_degree",
    "mm_per_deg",
    "mm_per_mm",
    "kg",
    "kg_per_m3",
    "s",
    "min",
    "h",
    "per_h",
    "percent",
    "per_mm",
    "n_mm_per_mm",
)
PLAIN_NUMBERS = {
    "k_factor",
    "k",
    "c",
    "n",
    "coefficient",
    "friction",
    "ratio",
    "radius_over_thickness",
    "poisson",
    "plastic_strain",
    "e0_or_b",
    "hits",
    "hits_before",
    "normal_anisotropy",
    "uniform_elongation",
}
"""Numbers without a unit."""
GUARDS = {"limits.py"}
"""Modules of mechanics that hold no formula."""


def float_arguments(function: ast.FunctionDef | ast.AsyncFunctionDef) -> list[tuple[ast.arg, bool]]:
    """The arguments of a function that are numbers, each with whether it can only be given by name."""
    spec = function.args
    places = [(arg, False) for arg in spec.posonlyargs + spec.args] + [(arg, True) for arg in spec.kwonlyargs]
    numbers = ("float", "float | None", "int", "int | None")
    return [(arg, named) for arg, named in places if arg.annotation and ast.unparse(arg.annotation) in numbers]


def has_unit(name: str) -> bool:
    """True when the name of a number ends in a unit (``thickness_mm``, ``mm_per_degree``)."""
    return any(name == unit or name.endswith(f"_{unit}") for unit in UNITS)


def test_every_public_name_is_explained() -> None:
    """Every module, and every public function, class and method in it, has a docstring."""
    bare = [label(path) for path in modules() if not ast.get_docstring(tree(path))]
    bare += [
        f"{label(path, node)} {node.name}"
        for path in modules()
        for node in public_definitions(path)
        if not ast.get_docstring(node)
    ]
    assert not bare, "\n".join(bare)


def test_records_are_frozen_and_slotted() -> None:
    """Every dataclass has slots and every public one is frozen: complete on the first line, unchanged ever after."""
    wrong = []
    for path in modules():
        for node in ast.walk(tree(path)):
            for mark in node.decorator_list if isinstance(node, ast.ClassDef) else []:
                if "dataclass" not in ast.unparse(mark):
                    continue
                words = {w.arg: ast.unparse(w.value) for w in mark.keywords} if isinstance(mark, ast.Call) else {}
                own = node.name.startswith("_")
                if words.get("slots") != "True" or not (own or words.get("frozen") == "True"):
                    wrong.append(f"{label(path, node)} {node.name}")
    assert not wrong, "\n".join(wrong)


def test_physical_inputs_are_named_and_carry_their_unit() -> None:
    """In mechanics every number is given by name, and the name says its unit unless the number has none."""
    wrong = []
    for path in sorted(path for path in (PACKAGE / "mechanics").rglob("*.py") if path.name not in GUARDS):
        for function in (n for n in public_definitions(path) if isinstance(n, FUNCTIONS)):
            for arg, named in float_arguments(function):
                if not named:
                    wrong.append(f"{label(path, function)} {function.name}({arg.arg}) can be given by place")
                elif not has_unit(arg.arg) and arg.arg not in PLAIN_NUMBERS:
                    wrong.append(f"{label(path, function)} {function.name}({arg.arg}) does not say its unit")
    assert not wrong, "\n".join(wrong)


def test_no_argument_is_just_an_angle() -> None:
    """Included and turned are never both called angle: no argument and no field is named so."""
    wrong = []
    for path in modules():
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.arg) and node.arg in {"angle", "angles"}:
                wrong.append(label(path, node))
            if isinstance(node, ast.AnnAssign) and ast.unparse(node.target) in {"angle", "angles"}:
                wrong.append(label(path, node))
    assert not wrong, "\n".join(wrong)
