"""Which spoke lengths to stock so that every buildable wheel finds its own.

`windows` (what a side wants; the fewest lengths) -> `apart` (of the smallest stores the one that keeps
most wheels' sides apart; `program` finds it) -> `plan` (what each length serves, errors, order points)
-> `shelves` (against what is stocked; what a rim adds). `wanted` asks the builds of an edition.
"""
