"""Servers on the loopback for benches, and clients that load them.

``server``  a production server in a process of its own, started and stopped
``load``    many connections that post at once, with the time of every answer
``bare``    an application that does the least: parses an order and commits one row
"""
