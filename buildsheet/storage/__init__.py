"""The workshop's memory: SQLite behind functions that hand out plain values.

``database``    one file: connections, the read section, the write section, the world's troubles
``migrations``  the tables, as an append-only list of named steps
``gathering``   threads whose work shares a transaction
``drafts``      the draft of the next edition, as its history
``editions``    catalog editions and the texts they were read from
``approvals``   who approved a draft, or an edition taken up again
``orders``      orders, their revisions, and the answers that are replayed
``wheels``      wheels, the sheets issued for them, the plans the sheets print
``recall``      serials of wheels by what is in them
``bench``       steps, passes, signatures    ``gauges``  calibration tables, daily checks
``stock``       movements on the shelves, their sums, holds
``moves``       what was done to orders, by whom and why; plans of revisions; new starts of wheels
``webhooks``    who is told of events, and how far each of them got
``people``      people who sign in
``keys``        API keys, as digests
``sessions``    who is signed in, how often somebody tried
``events``      what happened, in order
``allotments``  running numbers
``figures``     what a scraper asks          ``bench_figures``  what pictures over many wheels ask
``heartbeat``   proof that the file can be written
``whole``       the file as a whole: a copy, what the engine says of it
``proof``       questions that only an audit asks

Every statement is plain SQL in the dialect that SQLite and PostgreSQL share and stands in this folder.
A write section is a lock among threads, a lock among processes (`fcntl.flock` on a file beside the
database) and ``BEGIN IMMEDIATE``: what is written in it becomes true all at once or not at all.
"""
