"""One order position and one edition make one plan: everything a builder needs, computed once.

``assembly``   the parts of a wheel, looked up, as bare dimensions for the mechanics
``lengths``    the stock length of both sides, chosen together
``tension``    target and stop value, from the lowest maker's limit
``programs``   the drill program of the rim, and the worst angle between a spoke and its hole
``picking``    mass and pick list
``build``      all of it: `compute` for checks, `build` for the whole plan
``plan``       the frozen plan; ``document`` the plan as the interfaces print it
``wheel_file`` a wheel as bare dimensions, without a catalog
"""
