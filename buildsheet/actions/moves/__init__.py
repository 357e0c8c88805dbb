"""Moves of orders: held, approved, released, changed, cancelled; each says first what would be lost.

``documents``  what a request says             ``codes``      why a move is refused
``answers``    what is answered, and kept      ``lost``       what a change means for every wheel
``move``       hold, approve, release          ``cancel``     the order is not built any further
``change``     a new revision of the order     ``changing``   what it comes to, before anything is kept
``batch``      many orders, one after another  ``happened``   the list of events
"""
