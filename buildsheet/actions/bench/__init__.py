"""What is done at the stand: steps at stations, passes of readings, signatures, new issues of a sheet.

``view``    the wheel at the stand: its task, what was done, what is next
``steps``   a step at a station; ``box`` what lies in the box already
``passes``  a pass of readings     ``sign``  somebody stands for it
``elsewhere``  a rim or hub that is on record for another wheel too
``the_order``  what beginning the first wheel and shipping the last do to the order
``reissue`` ``reissue_document``  a new issue of the sheet, and what a request for one says
``gauges``  calibration tables, and the check of the day
``record``  the as-built record; ``record_limits`` what its rider must keep to
``show_record`` ``print_record``  on a screen, on paper
``find_wheels``  by whatever is in the hand    ``statistics``  how the bench does, week by week
"""
