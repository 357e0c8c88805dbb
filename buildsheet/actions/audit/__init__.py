"""Proof that the record is whole: what is stored is read again and held against what else is stored.

``run``      everything, in order      ``notes``   what was looked at, and every fault
``file``     what the engine says, gaps in running numbers, strays
``texts``    editions and plans against their digests
``taken``    orders: the document against its digest, the answer against wheels and plans
``wheels``   steps, passes, signatures, records

An audit finds what was changed behind the program's back, what a disk lost and what a fault of the
program left. It does not prove who wrote something: whoever can write the file and knows this program
can make all of it agree again; against that stands a copy that was kept elsewhere.
"""
