"""What the tests of the bench say to it, in one process or in the browser."""

from __future__ import annotations

API = "/api/v1"
PASSPHRASE = "tin roof over the salt marsh"
PROFILE = {
    "profile": "15 u90 40 u90 80 u90 40 u90 15 x 1200",
    "part_no": "SI-4410",
    "revision": "B",
    "material": "S235",
    "thickness": "2 mm",
}
"""A lipped rail of the demo shop."""
CHANNEL = {
    "profile": "50 u90 60 u90 50 x 2000",
    "part_no": "SI-50",
    "revision": "A",
    "material": "DX51D+Z",
    "thickness": "1.5 mm",
}
STRAIGHT = {"brake": "M1", "die": "V12", "punch": "P1"}
"""Wishes with which the channel is refused: too narrow for the straight punch, walls run into it."""
