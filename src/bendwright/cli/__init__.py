"""The command line: one verb per task of the person."""
