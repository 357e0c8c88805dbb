"""A posted order on its way from the desk to the shelves.

``judged``  orders that were judged before, and what has to be asked again of those that are alike
``earlier`` what was answered before: the same order again, the same key again, something in the way
``asked``   an order with all that is known of it before the lock
``decide``  what becomes of orders that wait together: read for once, decided one after the other
``enter``   the rows of those that are taken, written once for all of them
"""
