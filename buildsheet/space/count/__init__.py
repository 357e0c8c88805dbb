"""How many wheels and sets an edition can build, without walking through them.

`lists` says what an order is filled from, `conditions` turns checks into factors over that and the sound
wheels, `counted` eliminates the uses and counts the rest.
"""

from buildsheet.space.count.counted import Count, count, ways_of_builds

__all__ = ["Count", "count", "ways_of_builds"]
