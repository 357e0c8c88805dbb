"""The product manager's desk: the draft of the next edition, and how it becomes one.

``standing``  the open draft as it stands, its history, and who was quicker
``draft``     every way in which the draft changes
``publish``   the draft becomes an edition, whole or not at all; an older edition is taken up again
``refusals``  what can stand against an edition: its content, its start, who signs it
``papers``    the editions with their papers and with what each changed
``codes``     findings that only the desk gives
``people``    names as they are typed
``show_catalog``  editions and their parts for reading; ``draw_part`` their pictures
``part_in_draft``  parts of a draft before they are saved

An edit brings back the version it was made from. A draft may be faulty for a while; what is faulty is
never published.
"""
