"""Exact numbers over all combinations of choices, by eliminating the choices one after another.

The way of a question: `problem` (choices, and factors that say which values go together) ->
`merging` (values that no factor tells apart become one, with a weight) -> `ordering` (which choice
is eliminated when, so that no table grows large) and `splitting` (which choices are gone through class
by class, because each leaves little of the others: `support`) -> `held` (what a question fixes) ->
`passes` (the tables are joined and summed from
the leaves to the root, and back for the ways through every value) on `contraction` (two tables become
one) in `arithmetic` (exact at any size) -> `space` (the door: `Space.count`, `Space.ways`).
`conditions` makes a factor of a condition, asked once for every distinct combination that it reads.

The method is variable elimination, known from inference in graphs and as tensor contraction
[Dechter 1999, "Bucket elimination", from memory]: a sum over all combinations of a product of small
tables is worked out by pushing every sum as far inwards as it goes. Knows numpy and no catalog.
"""

from buildsheet.space.counting.conditions import condition_factor
from buildsheet.space.counting.problem import Choice, Factor
from buildsheet.space.counting.space import Space

__all__ = ["Choice", "Factor", "Space", "condition_factor"]
