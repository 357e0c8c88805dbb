"""All that can be ordered from an edition: counted, offered, compared, and stocked for.

Drawn as a way: parts and rules of an `Edition` -> `questions` (which check reads which members of an
order) -> `builds` (every sound wheel, colours and drivers left open) -> `counting` (exact numbers over
all choices, without walking them) -> `count` (how many wheels and sets), `choices` (what may still be
chosen), `impact` (what an edition would change), `lengths` (which spoke lengths to stock), `drilling`
(which programs), `standing` (parts and rules that do nothing).
`wheels` leads from builds back to parts, `finishes` to colours and driver bodies; what was asked of an
edition is `remembered`.
"""
