"""From a posted order to the sheet in a builder's hand, and from its code back to the wheel."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path

import pypdfium2
import zxingcpp
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.web.app import create_app
from tests.workshops import Dice, Document, counts, example, morning, raw

JSON = "application/json"


def post(client: FlaskClient, document: Document) -> tuple[int, Document]:
    """An order posted: the status, and what was answered."""
    answer = client.post("/api/v1/orders", data=raw(document), content_type=JSON)
    told: Document = json.loads(answer.data)
    return answer.status_code, told


DOTS_PER_INCH = 150
"""What a plain office printer and a phone's camera leave of a sheet."""


def codes_on(pdf: bytes) -> list[str]:
    """The texts of all codes on the first page, read from a greyscale raster."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    bitmap = document[0].render(scale=DOTS_PER_INCH / 72, grayscale=True)
    found = [code.text for code in zxingcpp.read_barcodes(bitmap.to_pil())]
    bitmap.close()
    document.close()
    return found


def test_an_order_becomes_sheets_whose_codes_open_their_wheels(workshop: Workshop):
    client = create_app(workshop).test_client()
    _, taken = post(client, example("D-1001"))
    opened = []
    for wheel in taken["wheels"]:
        sheet = client.get(wheel["sheet"])
        assert sheet.data.startswith(b"%PDF-")
        [address] = codes_on(sheet.data)
        path = "/w/" + address.rsplit("/", 1)[1]
        page = client.get(path)
        assert page.status_code == 200
        assert wheel["serial"] in page.text
        assert f"{wheel['position'].capitalize()}, issue" in page.text
        opened.append(path)
    assert len(set(opened)) == 2


def test_a_sender_that_repeats_itself_all_day_orders_once(workshop: Workshop):
    client = create_app(workshop).test_client()
    body = raw(example("D-1001"))
    answers = [
        client.post(
            "/api/v1/orders", data=body, content_type=JSON, headers={"Idempotency-Key": key}
        )
        for key in ("morning", "morning", "restarted", "evening")
    ]
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.data for answer in answers}) == 1
    assert counts(workshop)["orders"] == 1
    assert counts(workshop)["wheels"] == 2


def test_a_refused_order_comes_through_by_its_own_ways_out(workshop: Workshop):
    """Following the first way out of each finding leads to an order that can be taken."""
    client = create_app(workshop).test_client()
    order = example("D-1006")
    status, told = post(client, order)
    assert status == 422
    for _ in range(6):
        finding = next(each for each in told["findings"] if each["severity"] == "block")
        changes = finding.get("together", [None])[0] or {
            finding["try"][0]["at"]: finding["try"][0]["values"][0]
        }
        for at, value in changes.items():
            put(order, at, value)
        status, told = post(client, order)
        if status == 201:
            break
    assert status == 201


def put(order: Document, at: str, value: object) -> None:
    *above, last = at.lstrip("/").split("/")
    for name in above:
        order = order[name]
    order[last] = value


def test_garbage_between_good_orders_changes_nothing_for_them(workshop: Workshop):
    client = create_app(workshop).test_client()
    serials = []
    for number in range(3):
        assert client.post("/api/v1/orders", data=b"{", content_type=JSON).status_code == 400
        assert post(client, example("D-1007"))[0] == 422
        _, taken = post(client, example("D-1003", **{"/number": f"N-{number}"}))
        serials += [wheel["serial"] for wheel in taken["wheels"]]
    assert [serial[:9] for serial in serials] == ["W31-00001", "W31-00002", "W31-00003"]


def test_what_was_answered_is_there_after_the_power_comes_back(workshop: Workshop, tmp_path: Path):
    """The files as they lie on the disk at this moment are the whole record: nothing is closed first."""
    client = create_app(workshop).test_client()
    taken = client.post("/api/v1/orders", data=raw(example("D-1001")), content_type=JSON)
    after = tmp_path / "after"
    after.mkdir()
    for file in workshop.path.parent.glob(f"{workshop.path.name}*"):
        shutil.copy(file, after / file.name)
    again = open_workshop(after / workshop.path.name, clock=morning, chance=Dice())
    other: FlaskClient = create_app(again).test_client()
    repeated = other.post("/api/v1/orders", data=raw(example("D-1001")), content_type=JSON)
    again.close()
    assert repeated.data == taken.data
    assert repeated.headers["Idempotent-Replay"] == "true"
