"""Parts and rules that do nothing, and parts that are the only choice left.

`used` says which items of the shelves some buildable wheel takes, `parts` which parts are dead and where
one is the only choice, `rules` which rules never speak or always speak, `contradictions` which leave
nothing together.
"""
