"""One bend at the brake: gauge, depth, force, clearance along the swing, verdict."""
