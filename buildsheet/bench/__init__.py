"""What is read at the stand, what it means, and what to turn next. Pure: no clock, disk or chance.

``gauges``      calibration tables: a gauge's own scale to newtons, never beyond the table
``readings``    one pass as typed, with the conventions it was typed in; and the same in SI
``task``        what the wheel should be: targets, stop value, bands, tolerances
``figures``     means, spread and ratio of what was read
``evidence``    what is missing before anything may be judged
``unit_doubt``  newtons and kilogram-force mistaken for each other
``safety``      spokes too tight or too slack
``evenness``    side means, bands, neighbours that lean the same way, the ratio of the sides
``shape``       run-out, dish, mass, threads and free play
``hints``       which mistake of lacing would explain the ratio
``verdict``     all of it in one order: evidence and safety first
``advice``      the truing plan in the order of walking round the wheel, and how good the last one was
``stations``    before and after the readings    ``packing``   what goes into the box
``remeasure``   a rim that measures other than its catalog figure
``document``    a pass as it is sent             ``record``    the as-built record, sealed
``over_time``   how the bench does over the weeks
``codes``       every code a finding of the bench can have
"""
