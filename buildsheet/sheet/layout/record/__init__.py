"""One function for each block of the record side.

``spokes``  every spoke, two passes   ``figures``  readings, numbers, boxes   ``end``  finish, note, verdict
"""
