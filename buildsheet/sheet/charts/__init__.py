"""Charts, drawn with the sheet's own ink.

`bars` places columns over an axis; `lengths` is the picture of one spoke type's store. For the bench:
`tension_round` and `run_out_round` show one wheel, `yield_over_time` and `mass` many.
"""

from buildsheet.sheet.charts.lengths import (
    LengthChart,
    LengthColumn,
    length_chart,
    length_chart_svg,
)

__all__ = ["LengthChart", "LengthColumn", "length_chart", "length_chart_svg"]
