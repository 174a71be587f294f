"""The catalogue: one function for each kind of bent sheet a reader must get right, by name."""

from __future__ import annotations

from known_brackets import BRACKETS
from known_edges import WORKED
from known_openings import OPENINGS
from known_profiles import PROFILES
from known_trays import TRAYS

CATALOGUE = PROFILES | TRAYS | OPENINGS | WORKED | BRACKETS
