"""What the storage owes to everybody who calls it, whatever engine is behind it.

Every sentence here is said with functions of `buildsheet.storage` and an engine's sections alone: no
statement, no file, no driver. A second engine is one more line in ``engines``; what only the embedded one
has to prove (one file, its copies, its log) stays in the folder above.

``engines``   what can be asked          ``furnished``   an edition, two orders, their wheels
"""
