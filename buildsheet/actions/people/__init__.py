"""People and keys: who may do what, and how they prove who they are.

``roles``      the four roles                 ``visitor``   who asks, as the doors need it
``passwords``  argon2id, and what no password may be
``persons``    added, ended, given another password
``keys``       made, shown once, revoked; whose a key is
``signing_in`` sessions, and the limit on trying; ``subjects`` whose tries are counted together
``standing``   whether this workshop asks anybody at all

A workshop file that never had a person or a key asks nobody. The first one closes the door, for good:
people and keys are ended, never deleted.
"""
