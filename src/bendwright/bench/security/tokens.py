"""Random tokens: what is handed out, what is kept of them, and the check word that goes with a session."""

from __future__ import annotations

import hashlib
import hmac
import secrets

API_MARK = "bw_"
"""Tokens for scripts begin so: they can be told at sight in a script that should not hold one."""
LONGEST = 100


def new_token() -> str:
    """256 random bits as text."""
    return secrets.token_urlsafe(32)


def kept_hash(token: str) -> str:
    """What the store keeps of a token. A random token needs no slow hash."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def check_word(token: str) -> str:
    """The word a page has to send along with whatever it changes: only who was given it by us can know it (CSRF)."""
    return hmac.new(token.encode("utf-8", "surrogatepass"), b"bendwright check word", hashlib.sha256).hexdigest()


def check_word_fits(token: str, came: str) -> bool:
    """Whether ``came`` is the word of this session, in constant time."""
    return hmac.compare_digest(check_word(token).encode(), came.encode("utf-8", "surrogatepass"))
