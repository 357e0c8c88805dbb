r"""Mechanics of one spoked wheel on bare numbers: no shop, no catalog, no document.

Everything here is a pure function on frozen dataclasses; numpy and scipy are the only libraries.

Sides, holes and axes (this page is the only definition)
--------------------------------------------------------
``left`` and ``right`` as the rider sees them, sitting on the bicycle. ``right`` is the gear side of
a rear wheel; the rotor of a disc hub sits ``left``.

Seen from the RIGHT side (standing to the right of the bicycle), the wheel rolls clockwise:

                   valve
          hole N  ___|___  hole 1          angles are counted CLOCKWISE from the valve,
            .-'             '-.             as seen from the right side, in radians
          .'   y up            '.
         /     |                 \         hole h of an evenly drilled rim stands at (h - 1/2) 2 pi / N
        |      |                  |         right-side holes are 1, 3, 5 ... left-side holes 2, 4, 6 ...
        |      o----> z forward   |         (drilled one to one; two to one: see ``lacing``)
         \    hub               /
          '.                   .'           x points out of the picture, to the RIGHT along the axle
            '-.             .-'
               '---.....---'

A point of the rim at angle ``t`` and radius ``r`` is ``(x, y, z) = (x, r cos t, r sin t)``.

``trailing``  the hub hole stands ahead (clockwise) of the rim hole: pedalling tightens this spoke.
``leading``   the hub hole stands behind the rim hole: braking at the hub tightens it. A rim brake
              puts no torque into the hub and tightens neither.
``radial``    the hub hole stands at the rim hole's own angle.
``head in``   the head of a J-bend spoke lies on the flange face toward the hub's middle, so the spoke
              runs down the OUTER face; ``head out`` the other way round. Straight-pull: ``none``.
``bed_offset_mm`` and every lateral figure is positive toward the RIGHT; radial displacement is
positive OUTWARD, tangential displacement clockwise.

Hub holes are numbered from 1 on each flange, clockwise; hub hole ``j`` stood at the angle of that
side's ``j``-th rim hole before the hub was turned.

The rooms inside
----------------
``spec``      the wheel as bare dimensions, and the frozen results
``mechanics`` everything but the structure, in one call
``wrap``      how far a spoke goes round its hub, and what that leaves to the next head
``groups``    the at most four groups of congruent spokes that every figure of a side comes from
``hub_turn``  where the hub comes to rest; ``laceable`` what cannot be joined, and what would fit
``lacing``    which hub hole each rim hole gets, over and under, with its self-test
``vectors``   spoke end points and direction cosines
``length``    exact length, stretch, length to make
``drilling``  the angles at which spokes leave the rim; ``programs`` the fewest sets of them for many wheels
``tension``   the balance of the two sides
``pitch``     the note of a plucked spoke, for relative comparison only
``structure`` the prestressed wheel as a structure; ``truing`` what to turn
"""
