"""What an order takes from the shelves, what of it is short, and what could be ordered instead.

``need``          the pieces of every part article that a list of plans takes, and where the order says so
``shortage``      what is short, with a finding for each article
``alternatives``  changes of the order that can be built and are on the shelf
``nearness``      which of them comes nearest to what was ordered
``codes``         the codes of findings about stock

Pure, as the whole room: what is free is handed in.
"""
