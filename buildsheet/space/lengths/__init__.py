"""Which spoke lengths to stock so that every buildable wheel finds its own.

`windows` (what a side wants; the fewest lengths) -> `apart` (of the smallest stores the one that keeps
most wheels' sides apart) -> `wanted` (what the builds of an edition want) -> `plan` (what each length
serves, errors, order points, what a rim adds) -> `shelves` (against what is stocked).
"""
