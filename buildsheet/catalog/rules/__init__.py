"""Rules as data: conditions in CEL with reason, source, owner and examples.

The rooms inside
----------------
``rule``         what one rule says
``facts``        the facts a rule can read, with their types, by scope
``wheel_facts``  the facts of one wheel, looked up when they are read
``language``     an expression compiled with types, or every trouble in it; the only importer of CEL
``references``   what a compiled expression names
``tokens``       the words of an expression and their places
``mending``      trouble said to a person: nearest names, the mended expression
``judge``        a rule's verdict on facts
``asking``       whom a rule is asked of
``saying``       its sentence with the facts put in
``examples``     its own examples, run
``reading``      rule files to rules, or to every fault in them
"""
