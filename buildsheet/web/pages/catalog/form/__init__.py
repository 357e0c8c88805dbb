"""The form of a part kind, made from the kind's own model, so that the two cannot disagree.

``field``   one thing to fill in      ``fields``  every field of a kind, read off its model
``groups``  which fields stand together, under which heading
``words``   labels, units and help    ``typed``   texts of a form -> values of a catalog table
``written`` values of a catalog table -> texts of a form
``rule_fields`` ``house_fields``  of a rule, of the house figures    ``called``  what a key is called
"""
