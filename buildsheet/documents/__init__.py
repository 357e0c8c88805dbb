"""Documents that other systems and pages post: strict JSON, every fault at once, nothing lost in silence.

``kind``   what sort of document it is: its bounds, its family of codes, what it is called
``json_text``  text -> members, by Python's own parser, with what that would lose still in it
``text``   bytes -> members, with a fault for each place that could not be kept
``form``   members -> the kind's model, or a finding for each fault of form
``codes``  the codes that every kind but orders shares
"""
