"""Solid models in: the CAD kernel reads, everything else is worked out from plain records."""
