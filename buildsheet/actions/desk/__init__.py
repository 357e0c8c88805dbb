"""The product manager's desk: the draft of the next edition, and how it becomes one.

``standing``  the open draft as it stands, its history, and who was quicker
``draft``     every way in which the draft changes
``approve``   the second person's deed, before it is published
``publish``   the draft becomes an edition, whole or not at all; an older edition is taken up again
``refusals``  what can stand against an edition: its content, its start, who signs it
``papers``    the editions with their papers and with what each changed
``codes``     findings that only the desk gives
``people``    names as they are typed
``show_catalog``  editions and their parts for reading; ``draw_part`` their pictures
``show_rules``  an edition's rules for reading
``part_in_draft`` ``rule_in_draft`` ``house_in_draft``  what a draft says, before it is saved
``compare_draft``  what a draft says differently; ``edit_said`` one edit in a few words
``import_table`` ``export_table``  parts from a spreadsheet, and out to one
``count``     how much an edition can build
``impact`` ``impact_document``  what publishing would do
``lengths`` ``show_lengths``    which spoke lengths to stock; ``shelves`` what lies there
``documents``  what the desk answers, as documents

An edit brings back the version it was made from. A draft may be faulty for a while; what is faulty is
never published.
"""
