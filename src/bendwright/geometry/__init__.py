"""Profiles, plates, prisms, fold transforms, exact clearance. Knows nothing of metal."""
