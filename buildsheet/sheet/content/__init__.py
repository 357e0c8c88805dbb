"""What a sheet says: every string, rounded as paper rounds, before anybody asks where it goes.

``says``      the shapes         ``words``  what every sheet carries
``wheel``     sides, parts, checks, limits   ``lacing``  the lacing in words
``record``    the record side    ``rounding``  numbers as paper shows them
``sheet``     all of it: `sheet_says`
"""
