"""One function for each block of the building side: content and an area in, ink out.

``identity``  what this paper is   ``columns``  LEFT and RIGHT, from the bag to the tension
``middle``    parts and checks, the gate, STOP   ``foot``  warnings, limits, steps, cautions
"""
