"""Where everything goes: from content to primitives in millimetres.

``primitives``  the few kinds of ink
``pen``         collects primitives
``fit``         a string into a width: smaller, then more lines, then a visible cut
``picture``     the lacing picture
``marks``       our own signs: side shapes, tick boxes, arrows, the axle section
``blocks``      one function for each block of the front page
``front``       the building side   ``back``  the record side, of the blocks in ``record``
``alone``       the lacing picture by itself   ``paper``  sizes and margins
"""
