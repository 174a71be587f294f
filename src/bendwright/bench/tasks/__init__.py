"""The tasks of the worker processes, one file a question; each takes (given, tell) and returns plain data or a page record."""
