"""The framework finds every route as it does by itself, only with less work."""

from __future__ import annotations

import pytest
from flask import Flask, Request
from hypothesis import given
from hypothesis import strategies as st
from werkzeug.exceptions import BadRequest
from werkzeug.routing import MapAdapter
from werkzeug.test import EnvironBuilder

from buildsheet.web.framework import App

_PATHS = st.sampled_from(["/", "/wheels/1", "//wheels", "/wheels/", "/ö", "/%C3%28", "/a b", ""])
_HOSTS = st.sampled_from(
    ["localhost:8000", "localhost", "LOCALHOST", "[::1]:8000", "127.0.0.1", "wheels.example:80"]
)
_METHODS = st.sampled_from(["GET", "POST", "HEAD", "DELETE"])


def _asked(host: str, path: str, query: str, method: str, scheme: str, script: str) -> Request:
    builder = EnvironBuilder(path=path or "/", method=method, base_url=f"{scheme}://localhost")
    environ = builder.get_environ()
    environ.update(HTTP_HOST=host, QUERY_STRING=query, SCRIPT_NAME=script)
    return Request(environ)


def _parts(adapter: MapAdapter | None) -> dict[str, object]:
    assert adapter is not None
    return {name: value for name, value in vars(adapter).items() if name != "map"}


@given(
    _HOSTS,
    _PATHS,
    st.sampled_from(["", "a=1", "a=%ff&b=ö".encode().decode("latin-1")]),
    _METHODS,
    st.sampled_from(["http", "https"]),
    st.sampled_from(["", "/under", "/ö".encode().decode("latin-1")]),
)
def test_a_request_is_led_to_where_the_framework_leads_it(
    host: str, path: str, query: str, method: str, scheme: str, script: str
):
    asked = (host, path, query, method, scheme, script)
    plain, ours = Flask("plain"), App("ours")
    for _ in range(2):  # the second time the name is known
        theirs = _parts(plain.create_url_adapter(_asked(*asked)))
        assert _parts(ours.create_url_adapter(_asked(*asked))) == theirs


@pytest.mark.parametrize("host", ["", "a b", "a/b", "@", "x" * 70, "[::1", "ä.example"])
def test_a_name_that_is_none_is_refused_as_often_as_it_is_called(host: str):
    app = App("ours")
    said: list[str] = []
    for made in (Flask("plain"), app, app):
        try:
            made.create_url_adapter(_asked(host, "/", "", "GET", "http", ""))
            said.append("found")
        except BadRequest as refused:
            said.append(type(refused).__name__)
    assert len(set(said)) == 1, said


def test_no_function_of_a_route_is_taken_for_a_coroutine():
    def plain() -> str:
        return "answered"

    assert App("ours").ensure_sync(plain) is plain
