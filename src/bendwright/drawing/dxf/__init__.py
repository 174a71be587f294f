"""DXF files in: what was drawn, which closed rings it makes, where it bends, and the part that folds out of it."""
