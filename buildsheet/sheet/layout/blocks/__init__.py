"""One function for each block of the front page: content and an area in, ink out.

``identity``  what this paper is   ``sides``  the LEFT and RIGHT panels, STOP
``lists``     parts, checks, limits, steps, cautions   ``lacing``  first spokes, cues, gate
"""
