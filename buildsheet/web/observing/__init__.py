"""What the service says about itself while it runs: figures for a scraper, lines for a log.

``counted``  what workers count          ``shared``  where workers leave their counts for each other
``standing`` what the file knows         ``page``    ``GET /metrics``: both together
``lines``    one line of the log         ``watch``   after every request: count it, say it

No figure and no line has anything in it that was sent: only routes as they are written in the program,
names of people and keys that were made here, and the numbers of orders and wheels.
"""
