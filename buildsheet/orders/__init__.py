"""A posted order: read, judged, and answered with everything there is to say about it.

``text``      the bytes as JSON, strictly: what is no honest JSON is a finding, never a crash
``document``  the order's form (the exact document of the interfaces)
``form``      what the document's model refused, as findings
``reading``   the posted text or mapping as an order, or as much of it as can be read, with its faults
``posted``    the order over one edition: positions, parts looked up, geometry computed on demand
``codes``     every code that can be said, with its sentence, reason and source
``checks``    one file per family; every check is a plain function that yields what it finds
``reads``     the members that each check looks at
``again``     the questions that a change of the order asks anew
``changes``   what may be put at which place of the document
``search``    the changes that clear a finding and break nothing else
``check``     all of it: `check` for posted bytes, `check_document` for a mapping
"""
