"""How often may one guess? Three tries are free, then each wrong one doubles the wait; all guessers together have one measure too."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from ipaddress import IPv6Address, ip_address, ip_network

FREE = 3
"""Wrong tries of one address before it has to wait."""
LONGEST_S = 900.0
FORGOTTEN_S = 3600.0
"""So long after its wait an address is new again."""
MOST_ADDRESSES = 2000
TOGETHER, EVERY_S = 30, 6.0
"""Tries all addresses have together at once, and after how many seconds another one grows back."""


class Attempts:
    """Counts tries by address. Memory is bounded; threads may share it."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._rows: OrderedDict[str, tuple[int, float]] = OrderedDict()
        self._level, self._looked = 0.0, clock()
        self._lock = threading.Lock()

    def begin(self, address: str) -> float:
        """Begin a try: 0 when it may be made (it counts as wrong until ``succeeded``), else the seconds to wait first."""
        with self._lock:
            now, key = self._clock(), neighbourhood(address)
            wrong, free_at = self._rows.get(key, (0, 0.0))
            if now < free_at:
                return free_at - now
            self._level = max(0.0, self._level - (now - self._looked) / EVERY_S)
            self._looked = now
            if self._level + 1.0 > TOGETHER:
                return (self._level + 1.0 - TOGETHER) * EVERY_S
            wrong = 1 if now > free_at + FORGOTTEN_S else wrong + 1
            wait = min(2.0 ** min(wrong - FREE, 20), LONGEST_S) if wrong >= FREE else 0.0
            self._level += 1.0
            self._rows[key] = (wrong, now + wait)
            self._rows.move_to_end(key)
            if len(self._rows) > MOST_ADDRESSES:
                self._rows.popitem(last=False)
            return 0.0

    def succeeded(self, address: str) -> None:
        """The try that was begun was right: the address starts anew."""
        with self._lock:
            self._rows.pop(neighbourhood(address), None)
            self._level = max(0.0, self._level - 1.0)

    def __len__(self) -> int:
        """Addresses remembered."""
        return len(self._rows)


def neighbourhood(address: str) -> str:
    """What is taken for one guesser: an IPv4 address, or a whole IPv6 /64, which one household or attacker has to itself."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return address[:64]
    if isinstance(known, IPv6Address):
        return str(known.ipv4_mapped or ip_network((known, 64), strict=False))
    return str(known)
