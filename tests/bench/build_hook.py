"""The build hook, loaded from its file, and what hatchling hands it."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

ROOT = Path(__file__).parents[2]


class App:
    """Stands in for hatchling's messages."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def display_warning(self, message: str) -> None:
        """As hatchling does: say it."""
        self.said.append(message)


def load_script(path: Path) -> ModuleType:
    """The module of a script that lies outside the package."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def load_hook() -> ModuleType:
    """The module of the build hook."""
    return load_script(ROOT / "hatch_build.py")


def made_hook(module: ModuleType, tree: Path, *, target: str = "wheel", asked: tuple[str, ...] = ()) -> Any:
    """The hook for one build in ``tree``; ``asked`` are the package's dependencies."""
    metadata = SimpleNamespace(core=SimpleNamespace(dependencies=list(asked)))
    return module.WholeHook(str(tree), {}, None, metadata, str(tree), target, App())
