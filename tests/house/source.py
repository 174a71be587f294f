"""What the house rules are held against: the project's own files, read as syntax trees and as text."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "bendwright"
TESTS = ROOT / "tests"
DOCS = ROOT / "docs"

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


@cache
def modules() -> tuple[Path, ...]:
    """Every module of the package."""
    return tuple(sorted(PACKAGE.rglob("*.py")))


@cache
def tree(path: Path) -> ast.Module:
    """The syntax tree of one file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def module_name(path: Path) -> str:
    """``bendwright.part.model`` for ``src/bendwright/part/model.py``."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def label(path: Path, node: ast.AST | None = None) -> str:
    """A place a person can jump to: file relative to the project, and the line."""
    line = getattr(node, "lineno", None)
    return f"{path.relative_to(ROOT)}{f':{line}' if line else ''}"


@cache
def public_definitions(path: Path) -> tuple[Definition, ...]:
    """Public functions and classes of a module, and the public methods of its public classes."""
    found: list[Definition] = []
    for node in tree(path).body:
        if isinstance(node, (*FUNCTIONS, ast.ClassDef)) and not node.name.startswith("_"):
            found.append(node)
            if isinstance(node, ast.ClassDef):
                found += [m for m in node.body if isinstance(m, FUNCTIONS) and not m.name.startswith("_")]
    return tuple(found)


@cache
def text_files() -> tuple[Path, ...]:
    """All text files a reader of the project may open."""
    suffixes = {".py", ".md", ".yaml", ".yml", ".json", ".toml", ".csv", ".txt", ".typ", ".cfg"}
    folders = [ROOT / name for name in ("src", "tests", "docs", "examples", "benchmarks", ".ci")]
    inside = [p for folder in folders for p in folder.rglob("*") if p.is_file() and "__pycache__" not in p.parts]
    top = [p for p in ROOT.iterdir() if p.is_file()]
    return tuple(sorted(p for p in inside + top if p.suffix in suffixes or p.parent.name == ".ci" or p.suffix == ""))
