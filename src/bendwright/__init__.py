"""bendwright: from a drawing and a measured sheet to a press-brake plan you can hang on the machine."""

__version__ = "0.1.0"
