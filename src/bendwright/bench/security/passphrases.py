"""The passphrase of the shop: what it must be, how it is kept, whether one fits."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
import threading
import unicodedata
from collections.abc import Callable

from bendwright.findings import Finding, InputError, found
from bendwright.store.open_store import Store

SHORTEST, LONGEST, FEWEST_SIGNS = 12, 200, 5
COST, BLOCK, LANES = 15, 8, 1
"""scrypt with N = 2^15, r = 8, p = 1: about 32 MB and a tenth of a second a try."""
VARIABLE = "BENDWRIGHT_PASSPHRASE"
"""The environment variable a passphrase may be given in."""
_AT_ONCE = threading.BoundedSemaphore(2)
"""Tries worked out at once: guessers cannot fill the memory."""


def check_passphrase(text: str) -> None:
    """Raise InputError (B410) for a passphrase that is too short, too long or the same few signs over and over."""
    said = unicodedata.normalize("NFC", text)
    if not SHORTEST <= len(said) <= LONGEST or len(set(said)) < FEWEST_SIGNS:
        raise InputError(_weak(len(said)))


def hash_passphrase(text: str) -> str:
    """The text to keep: cost, a fresh salt and the scrypt hash."""
    salt = secrets.token_bytes(16)
    return "$".join(
        ("scrypt", str(COST), str(BLOCK), str(LANES), _text(salt), _text(_hash(text, salt, COST, BLOCK, LANES)))
    )


def passphrase_fits(text: str, kept: str | None) -> bool:
    """Whether ``text`` is the passphrase kept as ``kept``; as slow when none is kept, and when it is far too long to be one."""
    _, cost, block, lanes, salt, wanted = (kept or NONE_KEPT).split("$")
    tried = _hash(text[:LONGEST], base64.b64decode(salt), int(cost), int(block), int(lanes))
    fits = hmac.compare_digest(tried, base64.b64decode(wanted))
    return fits and kept is not None and len(text) <= LONGEST


def settle_passphrase(store: Store, *, given: str | None, ask: Callable[[], str] | None = None) -> bool:
    """Before others may come in: set the passphrase ``given``, or else leave the one there is, or else ``ask`` for one.

    True when a new one was set; everybody is signed out then. Raises InputError: B410 too weak, B411 none given and nobody to ask.
    """
    kept = store.passphrase_hash()
    if given is None and kept is not None:
        return False
    if given is None and ask is None:
        raise InputError(found("B411", where="--lan", variable=VARIABLE))
    text = given if given is not None else ask() if ask is not None else ""
    check_passphrase(text)
    if kept is not None and passphrase_fits(text, kept):
        return False
    store.set_passphrase_hash(hash_passphrase(text))
    return True


def _weak(length: int) -> Finding:
    return found("B410", where="passphrase", came=length, least=SHORTEST, most=LONGEST, signs=FEWEST_SIGNS)


def _hash(text: str, salt: bytes, cost: int, block: int, lanes: int) -> bytes:
    said = unicodedata.normalize("NFC", text).encode("utf-8", "surrogatepass")
    with _AT_ONCE:
        return hashlib.scrypt(said, salt=salt, n=1 << cost, r=block, p=lanes, maxmem=(130 * block) << cost, dklen=32)


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


NONE_KEPT = "$".join(("scrypt", str(COST), str(BLOCK), str(LANES), _text(bytes(16)), _text(bytes(32))))
"""Stands in where no passphrase is kept."""
