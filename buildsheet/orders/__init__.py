"""A posted order: read, judged, and answered with everything there is to say about it.

``text``      the bytes as JSON, strictly: what is no honest JSON is a finding, never a crash
``document``  the order's form (the exact document of the interfaces)
``form``      what the document's model refused, as findings
``reading``   the posted text or mapping as an order, or as much of it as can be read, with its faults
``judging``   one judgement of one document: what its form says, and the answers to every question
``posted``    the order over one edition: positions, parts looked up, geometry computed on demand
``codes``     every code that can be said, with its sentence, reason and source
``checks``    one file per family; every check is a plain function that yields what it finds
``reads``     the members that each check looks at
``again``     the questions that a change of the order asks anew
``raised``    a finding with the places where a change may clear it
``changes``   what may be put at which place of the document
``alike``     what was said of orders, by what they say where questions look
``trial``     an order with other values put in, and what its questions say of it then
``search``    the changes that clear a finding and break nothing else
``ways_out``  every finding with its ways out, looked for once for all orders that say the same
``revision``  what a new revision changes on each wheel
``reservation``  what an order takes from the shelves, what is short, what could be ordered instead
``members``   what a document holds, by member and type; ``facts`` the same as rules read it
``part_states``  why a part that the catalog knows is not taken, in words
``check``     all of it: `check` for posted bytes, `check_document` for a mapping
"""
