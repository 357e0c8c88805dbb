"""A workshop file with years in it: a few wheels really built, and as many copies as the years had.

``lived``   demo orders taken, built, read three times, signed, packed and shipped by the program
``copied``  those rows again under other numbers, days and batches, and what is still open today
``ways``    what people and machines ask of such a file, each with its bar
"""
