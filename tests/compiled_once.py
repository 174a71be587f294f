"""Processes side by side compile each function once: whoever comes first compiles and keeps it, the others wait and load it.

Every function has a lock of its own, so two processes compile different functions at once. No functions call each other in a
circle, so no two processes wait for each other. The lock of a process that dies is opened by the system.
"""

from __future__ import annotations

import fcntl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from zlib import crc32

from numba.core.caching import NullCache
from numba.core.dispatcher import Dispatcher


@contextmanager
def compiled_once(lock: Path) -> Iterator[None]:
    """While the block runs this process compiles functions that are kept on disk only while it holds their byte of the file ``lock``."""
    held: set[int] = set()
    unlocked = Dispatcher.compile

    with lock.open("w") as file:

        @contextmanager
        def alone(byte: int) -> Iterator[None]:
            fcntl.lockf(file, fcntl.LOCK_EX, 1, byte)
            held.add(byte)
            try:
                yield
            finally:
                held.remove(byte)
                fcntl.lockf(file, fcntl.LOCK_UN, 1, byte)

        def compile_alone(self: Dispatcher, signature: Any) -> Any:
            byte = crc32(f"{self.py_func.__module__}.{self.py_func.__qualname__}".encode())
            if isinstance(self._cache, NullCache) or byte in held:
                return unlocked(self, signature)
            with alone(byte):
                return unlocked(self, signature)

        Dispatcher.compile = compile_alone
        try:
            yield
        finally:
            Dispatcher.compile = unlocked
