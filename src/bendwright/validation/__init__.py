"""Rung 8: every model held against every value from outside, and the pages that show it."""
