"""The part: flanges joined by bends, its blank, and the shape as folded so far."""
