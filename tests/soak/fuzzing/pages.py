"""The pages of the service, walked from link to link: every form on them, and where they lead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Final
from urllib.parse import urljoin, urlsplit

from tests.soak.fuzzing.message import Pairs

MOST_ALIKE: Final = 3
"""Pages that differ in the values of their address only."""

MOST_BUTTONS: Final = 4
"""Of one form, that are pressed: one that picks among a hundred parts is pressed no more often."""

_BUTTONS: Final = frozenset({"submit", "button", "reset", "image"})


@dataclass(slots=True)
class Form:
    """``method`` and ``action`` as the page says them; ``pairs`` what a browser would send of it as it
    stands; ``offered`` what a choice offers, ``buttons`` what each of them sends; ``files`` the fields
    that are files."""

    method: str
    action: str
    pairs: list[tuple[str, str]] = field(default_factory=list)
    offered: dict[str, list[str]] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)
    files: list[str] = field(default_factory=list)

    def sent(self) -> list[Pairs]:
        """What a browser would send, by each of the form's buttons."""
        pressed = self.buttons[:MOST_BUTTONS] or [("", "")]
        return [(*self.pairs, *([each] if each[0] else ())) for each in pressed]


class Page(HTMLParser):
    """Links and forms of one page."""

    def __init__(self, text: str, address: str) -> None:
        super().__init__(convert_charrefs=True)
        self._address = address
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._open: Form | None = None
        self._list: str | None = None
        self._text: tuple[str, list[str]] | None = None
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and "href" in given:
            self.links.append(urljoin(self._address, given["href"]))
        elif tag == "form":
            action = urljoin(self._address, given.get("action", "") or self._address)
            self._open = Form(given.get("method", "get").lower(), action)
            self.forms.append(self._open)
        elif self._open is not None:
            self._field(self._open, tag, given)

    def _field(self, form: Form, tag: str, given: dict[str, str]) -> None:
        name, value = given.get("name", ""), given.get("value", "")
        kind = given.get("type", "submit" if tag == "button" else "text")
        if tag in ("button", "input") and kind in _BUTTONS:
            if name:
                form.buttons.append((name, value))
        elif tag == "input" and kind in ("checkbox", "radio") and name:
            form.offered.setdefault(name, []).append(value or "on")
            if "checked" in given:
                form.pairs.append((name, value or "on"))
        elif tag == "input" and name:
            if kind == "file":
                form.files.append(name)
            form.pairs.append((name, value))
        elif tag == "select":
            self._list = name
        elif tag == "option" and self._list:
            self._option(form, self._list, given)
        elif tag == "textarea" and name:
            self._text = (name, [])

    def _option(self, form: Form, name: str, given: dict[str, str]) -> None:
        # What an option without a value stands for is its text, which comes later.
        self._text = None if "value" in given else (name, [])
        if "value" not in given:
            return
        form.offered.setdefault(name, []).append(given["value"])
        if "selected" in given:
            form.pairs.append((name, given["value"]))

    def handle_data(self, data: str) -> None:
        if self._text is not None:
            self._text[1].append(data)

    def handle_endtag(self, tag: str) -> None:
        if self._open is None:
            return
        if tag in ("textarea", "option") and self._text is not None:
            name, said = self._text[0], "".join(self._text[1])
            if tag == "textarea":
                self._open.pairs.append((name, said.removeprefix("\n")))
            else:
                self._open.offered.setdefault(name, []).append(said.strip())
            self._text = None
        elif tag == "select":
            self._chosen(self._open)
        elif tag == "form":
            self._open = None

    def _chosen(self, form: Form) -> None:
        name, self._list = self._list, None
        if name and name not in dict(form.pairs) and form.offered.get(name):
            form.pairs.append((name, form.offered[name][0]))


def walked(
    ask: Callable[[str], str | None], starts: Iterable[str], route: Callable[[str], str | None]
) -> tuple[list[Form], list[str]]:
    """Every form, and every address with a question mark, that can be reached from these addresses.

    ``ask`` gives a page's text, None where there is none; ``route`` the name of an address's route.
    """
    forms: list[Form] = []
    asked: list[str] = []
    waiting, seen, alike = [*dict.fromkeys(starts)], set[str](), Counter[str]()
    while waiting:
        address = _local(waiting.pop(0))
        kind = _kind_of(address, route)
        if address in seen or kind is None or alike[kind] >= MOST_ALIKE:
            continue
        seen.add(address)
        alike[kind] += 1
        text = ask(address)
        if text is None:
            continue
        page = Page(text, address)
        asked += [address] if "?" in address else []
        forms += _new(page.forms, forms)
        waiting += page.links
    return forms, asked


def _kind_of(address: str, route: Callable[[str], str | None]) -> str | None:
    """Route and names of what is asked: pages of one kind are built alike."""
    name = route(address)
    query = urlsplit(address).query
    # What to do at the stand is a word: each has its own form.
    words = sorted(
        each if each.startswith("do=") else each.partition("=")[0] for each in query.split("&")
    )
    return None if name is None else f"{name} {' '.join(words)}"


def _local(address: str) -> str:
    parts = urlsplit(address)
    return f"{parts.path}?{parts.query}" if parts.query else parts.path


def _new(found: Sequence[Form], known: Sequence[Form]) -> list[Form]:
    """Those of which there are not enough yet with the same action and fields."""
    new: list[Form] = []
    for each in found:
        same = [form for form in (*known, *new) if shape(form) == shape(each)]
        if not same:
            new.append(each)
    return new


def shape(form: Form) -> tuple[str, str, frozenset[str]]:
    """What makes a form another one: where it goes, and its fields."""
    return form.method, form.action, frozenset(name for name, _ in form.pairs)
