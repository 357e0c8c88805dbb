"""The shelves: goods in, corrections, what is free, and what is held for orders.

``documents``  the posted list of movements
``move``       movements into the record      ``load``   the same from ``stock.csv``
``announced``  what came in and counts against a delivery that was announced
``shelf``      what lies where, what is free, what comes; the sums added up anew
``holds``      parts set aside for a wheel: taken, confirmed, given back, picked, run out
``held_anew``  the same after a new issue of its sheet
``available``  what the shelves say of an order that is only checked

A workshop keeps stock from its first movement on. Before that nothing can be short, nothing is held,
and every taken order says so.
"""
