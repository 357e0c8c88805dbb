"""The parts of the fuzz: what bends inputs, what asks the program, what looks at the answers.

``loop``      one input after another: kept, timed, watched     ``lines``     which lines are new
``trees``     JSON documents, bent     ``texts``     lines and bytes, bent
``workshop``  a workshop that asks back     ``posted``    documents over HTTP
``forms``     forms of pages, found by ``found`` and ``pages``, bent by ``fields``, sent as a ``message``
``answers``   what no answer may be
``described`` requests made up from the description, by every role
``rules``     conditions     ``sheets``    spreadsheets
``files``     catalog files, wheel files, the shelves' file
``processes`` two at a time, and what a process that died was doing
"""
