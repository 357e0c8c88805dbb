"""The parts of the crash soak.

``keeper``   a process with everything imported, which starts servers and commands by forking
``clients``  sixteen senders that keep book of what they sent and what they were answered
``documents``  the orders that they choose from
``scripts``  what they send: orders, moves, changes, stock, steps and readings, an edition
``proof``    the workshop file against that book
``torn``     the file with a log that ends anywhere
``commands`` commands killed at their work: backup, publish, restore, the first load of a fresh file
"""
