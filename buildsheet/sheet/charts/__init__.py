"""Charts for the product manager's desk, drawn with the sheet's own ink.

`bars` places columns over an axis; `lengths` is the picture of one spoke type's store.
"""

from buildsheet.sheet.charts.lengths import (
    LengthChart,
    LengthColumn,
    length_chart,
    length_chart_svg,
)

__all__ = ["LengthChart", "LengthColumn", "length_chart", "length_chart_svg"]
