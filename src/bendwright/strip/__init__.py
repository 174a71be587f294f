"""The strip of sheet between punch and die, compiled: plain numbers in sheet thicknesses, given by place."""
