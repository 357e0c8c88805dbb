"""What the workshop does, one file each: the only place where rules and the stored record meet.

``workshop``       the workshop a deed is done in: its file, its clock, its dice
``load_catalog``   a directory of catalog files becomes a draft, or the first edition
``desk``           the draft of the next edition, and how it becomes one
``editions``       editions out of the workshop file, read once
``catalog_files``  catalog files on disk
``check_order``    every finding and the plans; stores nothing
``wanted_day``     whether the day by which an order is wanted has passed when it comes
``choices``        what may still be chosen; stores nothing
``take_order``     the same as ``check_order``, and it is taken; ``intake`` how
``moves``          hold, approve, release, change, cancel; batches; the list of events
``stock``          the shelves, and what is held for orders
``bench``          what is done at the stand, and the record of a wheel
``people``         people and keys
``webhooks``       other systems told of events by post
``answers``        what is answered, kept so that it can be given again
``show_order``     orders as they stand
``show_wheel``     wheels as they stand; ``stopped`` which of them a reading stopped, and why
``print_sheet``    the sheet of a wheel that is taken, as PDF and as picture; ``sheet_requests`` what from
``draw_sheets``    the sheets of an order file, taken or not
``wheel_figures``  the mechanics of bare dimensions
``demo``           a fresh workshop with its orders
``demo_editions``  the demo's next edition published, the one after it drafted
``finding_codes``  every code that can be said; ``codes`` those that only the stored record can know
``differences``    where two documents differ
``backup``         a copy while others work; ``restore`` a copy put back
``audit``          proof that the record is whole
``health``         is the file writable; ``figures`` how the workshop stands, for a scraper
``serials``        how numbers look on paper
``plan_record``    a plan kept and read back; ``finding_record`` the same for findings
``plan_again``     the plan behind a sheet, also one that an older version kept

Time and chance come in through `workshop.Workshop`; nothing here asks the machine for them.
"""
