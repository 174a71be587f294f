"""Where the machine code of compiled functions is kept, and when it no longer counts.

It lies in ``machine_code`` inside the package, written when the package is built or at the first use; where that folder may not be
written, in the user's cache folder, which begins with a copy. ``NUMBA_CACHE_DIR`` names another place. Code counts as long as
everything it was made of is as it was: the text of its module, the functions of other modules compiled into it, the constants
taken from them; processor and compiler are looked at by numba itself. What cannot be read is compiled anew; what cannot be written is
not kept. numba has no public door for this: its keeper is replaced by way of names its manual does not tell of.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from enum import EnumMeta
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
from numba.core.caching import CompileResultCacheImpl, FunctionCache
from numba.core.dispatcher import Dispatcher

PACKAGE = Path(__file__).parent
SHIPPED = PACKAGE / "machine_code"
_MADE_OF: dict[Callable[..., Any], str] = {}
"""The stamp of every function kept here."""


def keep(made: Any) -> None:
    """Keep the machine code of the compiled function ``made`` from one process to the next."""
    function = made.py_func
    _MADE_OF[function] = made_of(Path(function.__code__.co_filename), vars_of(function))
    made._cache = _Keeper(function)


def vars_of(function: Callable[..., Any]) -> dict[str, Any]:
    """What the names of the function's module stand for, without those Python puts there itself."""
    return {name: value for name, value in function.__globals__.items() if not name.startswith("__")}


def made_of(file: Path, names: Mapping[str, Any]) -> str:
    """A digest of the text of ``file`` and of what its ``names`` stand for: constants by value, compiled functions by their own digest."""
    told = sha256(_text(file))
    for name in sorted(names):
        told.update(f"\0{name}\0{_told(names[name])}".encode())
    return told.hexdigest()


@cache
def _text(file: Path) -> bytes:
    return file.read_bytes()


def _told(value: Any) -> str:
    """One value a compiled function may have taken in, told so that it reads otherwise when it has changed."""
    if isinstance(value, Dispatcher):
        return _MADE_OF.get(value.py_func, "")
    if isinstance(value, np.ndarray):
        return f"{value.dtype}{value.shape}{sha256(np.ascontiguousarray(value).tobytes()).hexdigest()}"
    if isinstance(value, EnumMeta):
        return repr([(one.name, one.value) for one in value])  # type: ignore[var-annotated]
    if isinstance(value, type):
        return f"{value.__qualname__}{getattr(value, '__annotations__', '')}"
    if isinstance(value, tuple | list):
        return repr([_told(one) for one in value])
    if value is None or isinstance(value, bool | int | float | str | np.generic):
        return repr(value)
    return type(value).__qualname__


@cache
def folder() -> Path | None:
    """Where machine code is read and written, or read only; None where there is none and none can be kept."""
    chosen = os.environ.get("NUMBA_CACHE_DIR")
    if chosen:
        return _writable(Path(chosen, "bendwright"))
    if os.access(PACKAGE, os.W_OK):
        return _writable(SHIPPED)
    with suppress(OSError, RuntimeError):
        base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache", "bendwright")
        mine = base / f"machine_code_{sha256(f'{PACKAGE}{_age(SHIPPED)}'.encode()).hexdigest()[:16]}"
        if not mine.exists() and SHIPPED.is_dir():
            _copy(SHIPPED, mine)
        if _writable(mine) is not None:
            return mine
    return SHIPPED if SHIPPED.is_dir() else None


def _age(path: Path) -> int:
    return path.stat().st_mtime_ns if path.exists() else 0


def _copy(of: Path, to: Path) -> None:
    """All at once or not at all: another process may be doing the same."""
    to.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=to.parent) as beside:
        shutil.copytree(of, Path(beside, "copy"))
        with suppress(OSError):
            Path(beside, "copy").rename(to)


def _writable(path: Path) -> Path | None:
    with suppress(OSError):
        path.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=path):
            return path
    return None


class _Place:
    """Tells numba where the code of one function lies and what it was made of."""

    def __init__(self, function: Callable[..., Any], file: str) -> None:
        base = folder()
        self._py_file, self._function = file, function
        self._path = None if base is None else base.joinpath(*function.__module__.split(".")[1:-1])

    @classmethod
    def from_function(cls, function: Callable[..., Any], file: str) -> _Place:
        return cls(function, file)

    def ensure_cache_path(self) -> None:
        if self._path is None:
            raise OSError("no folder can be written to")
        self._path.mkdir(parents=True, exist_ok=True)

    def get_cache_path(self) -> str:
        return str(self._path or os.devnull)

    def get_source_stamp(self) -> str:
        return _MADE_OF[self._function]

    def get_disambiguator(self) -> str:
        return str(self._function.__code__.co_firstlineno)


class _Form(CompileResultCacheImpl):
    _locator_classes: ClassVar = [_Place]


class _Keeper(FunctionCache):
    """numba's keeper, for which no file it finds or cannot write is a reason to stop."""

    _impl_class = _Form

    def load_overload(self, signature: Any, target: Any) -> Any:
        try:
            return super().load_overload(signature, target)
        except Exception:  # a damaged file can raise anything while it is unpickled
            with suppress(OSError):
                self.flush()
        return None

    def save_overload(self, signature: Any, data: Any) -> None:
        with suppress(OSError):
            super().save_overload(signature, data)
