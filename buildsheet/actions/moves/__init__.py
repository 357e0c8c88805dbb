"""Moves of orders: held, approved, released, changed, cancelled; each says first what would be lost.

``documents``  what a request says             ``codes``      why a move is refused
``answers``    what is answered, and kept      ``lost``       what a change means for every wheel
``move``       hold, approve, release          ``cancel``     the order is not built any further
``change``     a new revision of the order     ``proposed``   what it comes to, before anything is kept
``kept``       what it leaves in the record    ``sheets``     what it does to a wheel's sheet
``shelves``    what a move does to the shelves ``waiting``    whether the order waits for a name
``open_moves`` what can be done to it now      ``happened``   the list of events
``batch``      many orders, one after another
"""
