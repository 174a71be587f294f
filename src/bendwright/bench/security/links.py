"""Where a sign-in link may lead: to a page of this bench, and nowhere else."""

from __future__ import annotations

import re

from bendwright.findings import InputError, found

WAY = re.compile(r"/(?:[A-Za-z0-9._~-]+/?)*")


def safe_way(text: str) -> str:
    """``text`` when it is a plain path of ours. Raises InputError (B414) for other hosts, schemes, dots upward, query or fragment."""
    if not WAY.fullmatch(text) or ".." in text or text.startswith("/api"):
        raise InputError(found("B414", where="leads_to", came=repr(text)[:60]))
    return text
