"""Records, recalls and pictures on pages: what was recorded, and that nobody recorded the rest."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.bench import find_wheels
from buildsheet.actions.bench.passes import take_pass
from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from tests.actions.bench.conftest import stand
from tests.actions.bench.day import pass_of, taken
from tests.actions.bench.test_record import built

__all__ = ["stand"]


@pytest.fixture
def client(stand: Workshop) -> FlaskClient:
    return create_app(stand).test_client()


def page(client: FlaskClient, path: str, status: int = 200) -> str:
    answer = client.get(path)
    assert answer.status_code == status
    return answer.get_data(as_text=True)


def test_a_record_shows_verdict_pictures_readings_and_the_riders_part(
    client: FlaskClient, stand: Workshop
):
    text = page(client, f"/wheels/{built(stand)}/record")
    for said in ("PASS", "S. Second", "33D-0412", "105 kg", "NA12 black", "sha256:"):
        assert said in text
    assert text.count("<svg") == 2
    assert "NOT FOR RIDING" not in text


def test_a_wheel_that_nobody_touched_says_so(client: FlaskClient, stand: Workshop):
    text = page(client, f"/wheels/{taken(stand)['rear']}/record")
    assert "NO CERTIFICATE" in text
    assert "NOT FOR RIDING" in text
    assert text.count("<svg") == 0


def test_what_was_typed_at_the_stand_is_text_and_no_markup(client: FlaskClient, stand: Workshop):
    front = taken(stand)["front"]
    take_pass(stand, front, pass_of(stand, front, by="<b>M. K.</b>"))
    text = page(client, f"/wheels/{front}/record")
    assert "<b>M. K." not in text
    assert "&lt;b&gt;M. K." in text


def test_a_record_of_no_wheel_is_not_found(client: FlaskClient):
    assert "Nothing here is called" in page(client, "/wheels/W31-99999-A/record", 404)


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("by=rim-batch&q=L7", "1 wheel with rim batch L7"),
        ("q=L7", "1 wheel with rim batch L7"),
        ("q=33D-0412", "1 wheel with rim serial 33D-0412"),
        ("by=builder&q=M.+K.", "1 wheel with person M. K."),
        ("by=edition&q=16", "2 wheels with edition 16"),
        ("q=SJB9/277+B41", "1 wheel with part and batch SJB9/277 B41"),
    ],
)
def test_wheels_are_found_by_what_is_in_the_hand(
    client: FlaskClient, stand: Workshop, query: str, said: str
):
    front = built(stand)
    text = page(client, f"/find?{query}")
    assert said in text
    assert f"/wheels/{front}/record" in text


def test_what_is_nowhere_is_said_and_asking_nothing_shows_the_form(client: FlaskClient):
    assert "Nothing here is called" in page(client, "/find?by=rim-batch&q=L9", 404)
    assert "What you have" in page(client, "/find")
    assert "Nothing here" not in page(client, "/find")


def test_a_number_still_opens_its_wheel_or_order(client: FlaskClient, stand: Workshop):
    front = built(stand)
    assert "/w/" in client.get(f"/find?q={front}").headers["Location"]
    assert "/orders/" in client.get("/find?q=D-1001").headers["Location"]


def test_the_pictures_of_the_bench_count_what_was_read(client: FlaskClient, stand: Workshop):
    empty = page(client, "/bench/pictures")
    assert "0 of 0 wheels" in empty
    built(stand)
    text = page(client, "/bench/pictures")
    assert "Good at the first judged pass: 1 of 1 wheels in 12 weeks" in text
    assert "1 wheel weighed, 0 off by more than 3 %" in text


def test_a_long_list_is_shown_a_page_at_a_time_the_newest_first(
    client: FlaskClient, stand: Workshop, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(find_wheels, "PAGE", 2)
    newest = [serial for name in ("D-1001", "D-1002") for serial in taken(stand, name).values()][
        ::-1
    ]
    text = page(client, "/find?by=edition&q=16")
    assert "The newest 2 wheels with edition 16" in text
    assert [serial in text for serial in newest] == [True, True, False, False]
    following = f"/find?by=edition&q=16&before={newest[1]}"
    assert following.replace("&", "&amp;") in text
    text = page(client, following)
    assert "Older wheels with edition 16" in text
    assert [serial in text for serial in newest] == [False, False, True, True]


def test_the_api_gives_every_wheel_unless_a_part_is_asked_for(client: FlaskClient, stand: Workshop):
    newest = [serial for name in ("D-1001", "D-1002") for serial in taken(stand, name).values()][
        ::-1
    ]
    every = client.get("/api/v1/wheels?by=edition&what=16").json
    assert ([each["serial"] for each in every["wheels"]], every["next"]) == (newest, None)
    asked, seen = "/api/v1/wheels?by=edition&what=16&limit=3", []
    while asked:
        answer = client.get(asked).json
        seen.append([each["serial"] for each in answer["wheels"]])
        asked = answer["next"]
    assert seen == [newest[:3], newest[3:]]


@pytest.mark.parametrize(
    "page_of", ["limit=", "limit=0", "limit=1001", "limit=x", "before=16", "before="]
)
def test_a_page_that_is_none_is_refused(client: FlaskClient, page_of: str):
    assert client.get(f"/api/v1/wheels?by=edition&what=16&{page_of}").status_code == 400


def test_an_edition_number_beyond_all_numbers_is_no_edition(client: FlaskClient):
    assert "Nothing here is called" in page(client, f"/find?by=edition&q={'9' * 40}", 404)
