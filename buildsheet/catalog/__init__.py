"""What the workshop can build with: parts, house figures, and the edition that freezes them.

The rooms inside
----------------
``parts``         the part kinds and their attributes, typed and bounded
``house``         the house's own figures
``rules``         conditions as data, in CEL: read, judged, their examples run
``edition``       one frozen state of all three
``digest``        the canonical text of an edition and its digest
``reading``       catalog files (as text) to an edition, or to every fault in them
``model_faults``  one table checked against its model
``allowed``       what a key may hold, in words, and what a wrong number may have been meant to be
``plausible``     sense within one part: dimensions that contradict each other
``likeness``      sense between like parts
``evidence``      what a new or changed part must prove before it is published
``clone``         a new part from one that is there, its proof left behind
``links``         sense between parts: codes that name each other; and within the house file
``differences``   what two editions say differently; ``as_written`` the same for files that are faulty
``second_person`` which differences need two people
``amending``      edits made in the files' texts
``tables``        parts as spreadsheets, out and back in
``typed``         numbers as people type them
``faults``        the findings that all of these make; ``codes`` lists them
``stock``         the shelves: ``stock.csv`` as text to counted pieces

Nothing here touches the disk: texts are handed in.
"""
