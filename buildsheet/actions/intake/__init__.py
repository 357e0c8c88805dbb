"""What happens to posted orders under the lock.

``asked``   an order with all that is known of it before the lock
``decide``  what becomes of orders that wait together: read for once, decided one after the other
``enter``   the rows of those that are taken, written once for all of them
"""
