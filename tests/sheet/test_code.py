"""The QR code is read back from paper by a decoder that shares no code with the one that wrote it."""

from __future__ import annotations

import pytest
from PIL import ImageFilter

from buildsheet.errors import CannotCompute
from buildsheet.sheet import pdf
from buildsheet.sheet.code import LONGEST_URL, QUIET_MODULES
from buildsheet.sheet.layout.blocks.identity import draw_code
from buildsheet.sheet.layout.pen import Pen
from buildsheet.sheet.layout.primitives import Cells
from tests.sheet.pictures import codes, raster
from tests.sheet.wheels import WHEELS, request_of


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", WHEELS)
def test_the_code_is_read_from_a_grey_raster_of_150_dpi(name, paper):
    request = request_of(name, paper=paper)
    assert codes(raster(request)) == [request.bench_url]


def test_the_record_side_carries_no_second_code():
    assert codes(raster(request_of(), page=1)) == []


def test_a_longest_address_is_still_read():
    url = "https://oddmoor.example/w/".ljust(LONGEST_URL, "7")
    assert len(url) == LONGEST_URL
    assert codes(raster(request_of(bench_url=url))) == [url]


def test_an_address_that_would_be_too_fine_is_refused():
    with pytest.raises(CannotCompute):
        pdf([request_of(bench_url="https://oddmoor.example/" + "x" * LONGEST_URL)])


def test_a_dirty_code_is_still_read():
    request = request_of()
    image = raster(request)
    px = image.width / 210.0
    # A smear of 5 x 2 mm across the modules in the middle of the code (level Q mends a quarter).
    middle_x, middle_y = (210.0 - 8.0 - 15.5) * px, (8.0 + 15.5) * px
    smear = (int(5.0 * px), int(2.0 * px))
    image.paste(
        128, (int(middle_x), int(middle_y), int(middle_x) + smear[0], int(middle_y) + smear[1])
    )
    assert codes(image.filter(ImageFilter.GaussianBlur(0.6))) == [request.bench_url]


def test_four_white_modules_surround_the_code():
    pen = Pen()
    draw_code(pen, "https://oddmoor.example/w/7GQ2", 10.0, 20.0, 31.0)
    (cells,) = [each for each in pen.ink if isinstance(each, Cells)]
    module = cells.cells[0][3]
    assert min(x for x, _, _, _ in cells.cells) == pytest.approx(10.0 + QUIET_MODULES * module)
    assert max(x + w for x, _, w, _ in cells.cells) == pytest.approx(41.0 - QUIET_MODULES * module)
    assert QUIET_MODULES == 4
