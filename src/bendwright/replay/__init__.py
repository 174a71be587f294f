"""Does a finished plan work, done again stroke by stroke with sums of its own?

Shares no code with the planner, its clearance kernels, the folding of the part or the stroke models: it reads the plain
records of part, blank, shop and plan, and numpy and shapely do the rest.
"""
