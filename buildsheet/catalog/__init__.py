"""What the workshop can build with: parts, house figures, and the edition that freezes them.

The rooms inside
----------------
``parts``       the part kinds and their attributes, typed and bounded
``house``       the house's own figures
``edition``     one frozen state of both, with a digest
``digest``      the canonical text of an edition and its digest
``reading``     catalog files (as text) to an edition, or to every fault in them
``allowed``     what a key may hold, in words, and what a wrong number may have been meant to be
``faults``      the findings that reading makes
``plausible``   sense within one part: dimensions that contradict each other
``links``       sense between parts: codes that name each other; and within the house file
``stock``       the shelves: `stock.csv` as text to counted pieces

Nothing here touches the disk: texts are handed in.
"""
