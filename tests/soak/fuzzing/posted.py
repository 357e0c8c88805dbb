"""Documents that are posted to the service: orders, choices, batches, moves, what the bench sends,
shelves, edits of a draft. Each goes through the whole application, into a file that is audited after
every round."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cache
from random import Random
from typing import Any, Final
from urllib.parse import quote

from buildsheet.catalog.edition import KINDS
from buildsheet.catalog.parts import Hub, Rim
from buildsheet.web.openapi.document import openapi
from tests.catalog.demo_texts import demo_edition
from tests.soak.fuzzing.loop import Input, Told
from tests.soak.fuzzing.sound import Gauges, Shelves
from tests.soak.fuzzing.texts import bent_bytes
from tests.soak.fuzzing.trees import Bender, known_values, tree, written
from tests.soak.fuzzing.workshop import House, gauge_tables
from tests.workshops import EXAMPLES, example, raw

API: Final = "/api/v1"
WHO: Final = {"by": "A. Maker", "reason": "The customer rang and asked for it."}
COUNTED_AT: Final = ("key", "number")
"""Members that make a document a new one: without another value the first answer comes again."""

MADE_SHARE: Final = 0.6
"""Of the inputs of a family that has a maker of sound documents."""

ODD_PLACES: Final = (
    "",
    "x",
    "A31-99999-A",
    "%00",
    "..",
    "W31-00001-S",
    "\u00fc",
    "a" * 3000,
    "A31-00001-s",
)


class Posted:
    """Documents of one family, each posted to one of the addresses that take it."""

    def __init__(
        self,
        house: House,
        name: str,
        seeds: Sequence[tuple[str, Any]],
        maker: Gauges | Shelves | None = None,
    ) -> None:
        self._maker = maker
        self.name, self._house = name, house
        self._seeds = [Input(where, raw(body)) for where, body in seeds]
        self._wheres = sorted({each.where for each in self._seeds})
        known = known_values([each.body.decode() for each in self._seeds])
        for member, values in _words().items():
            known[member] = [*known.get(member, ()), *values]
        self._bender = Bender(known, _member_names())
        self._turn = 0

    def seeds(self) -> Sequence[Input]:
        """The sound ones."""
        return self._seeds

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Bent as a tree, mostly; else as bytes. Mostly as a document nobody has sent yet."""
        self._turn += 1
        if self._maker is not None and dice.random() < MADE_SHARE:
            where, document = self._maker.made(dice, self._turn)
            text = raw(document).decode()
            if dice.random() < 0.4:
                text = self._bender.bent(dice, text)
            return Input(f"POST {API}{where}", text.encode("utf-8", "surrogatepass"))
        # One in three begins from a sound document: what is bent again and again is refused for its form.
        near = dice.choice((self._seeds, corpus, corpus[-60:]))
        base = dice.choice(near)
        where = base.where
        if dice.random() < 0.03:
            where = dice.choice(self._wheres)
        if dice.random() < 0.01:
            head, _, tail = where.rpartition("/")
            where = f"{head.rpartition('/')[0]}/{quote(dice.choice(ODD_PLACES))}/{tail}"
        if dice.random() < 0.12:
            return Input(where, bent_bytes(dice, base.body, [each.body for each in near]))
        try:
            text = self._bender.bent(dice, self._fresh(dice, base.body.decode()))
            return Input(where, text.encode("utf-8", "surrogatepass"))
        except (ValueError, RecursionError):
            return Input(where, bent_bytes(dice, base.body, [each.body for each in near]))

    def _fresh(self, dice: Random, text: str) -> str:
        document = tree(text)
        if dice.random() < 0.85 and isinstance(document, list):
            for pair in document:
                if isinstance(pair, list) and pair and pair[0] in COUNTED_AT:
                    pair[1] = f"{'k' if pair[0] == 'key' else 'N'}-{self._turn:08d}"
        return written(document)

    def ask(self, one: Input) -> Told:
        """Posted as the owner; an edit of the draft brings back the draft's version."""
        method, _, address = one.where.partition(" ")
        headers = {"If-Match": f'"{self._house.draft_version()}"'} if "/draft" in address else {}
        answer = self._house.ask(method, address, one.body, headers)
        return Told(answer.status_code < 400, _said(answer))

    def rest(self) -> None:
        """The file is audited and begun anew."""
        self._house.rest()


def _said(answer: Any) -> frozenset[str]:
    """Status, codes of the findings and the members they point at: what makes an answer a new one."""
    said = {str(answer.status_code)}
    document = answer.get_json(silent=True)
    if isinstance(document, dict):
        said.add(str(document.get("verdict", "")))
        found = document.get("findings")
        for each in found if isinstance(found, list) else ():
            said.add(str(each.get("code")))
    return frozenset(said)


@cache
def _words() -> Mapping[str, list[Any]]:
    """What an order may name, from the catalog; and every word that the description lists."""
    edition = demo_edition()
    words: dict[str, list[Any]] = {}
    kinds = {
        "rim": "rims",
        "hub": "hubs",
        "nipple": "nipples",
        "washer": "washers",
        "driver": "drivers",
    }
    for member, kind in {**kinds, "left": "spokes", "right": "spokes", "part": "rims"}.items():
        words[member] = [*getattr(edition, kind)]
    words["part"] = [code for kind in KINDS for code in getattr(edition, kind)]
    parts = [*edition.rims.values(), *edition.hubs.values()]
    assert all(isinstance(each, (Rim, Hub)) for each in parts)
    _described(openapi(), "", words)
    return words


def _described(schema: Any, name: str, words: dict[str, list[Any]]) -> None:
    if isinstance(schema, dict):
        for word in schema.get("enum", ()) if isinstance(schema.get("enum"), list) else ():
            words.setdefault(name, []).append(word)
        for key, each in schema.items():
            inner = name if key in ("anyOf", "oneOf", "allOf", "items", "properties") else key
            _described(each, inner, words)
    elif isinstance(schema, list):
        for each in schema:
            _described(each, name, words)


@cache
def _member_names() -> list[str]:
    names: set[str] = set()

    def walk(schema: Any) -> None:
        if isinstance(schema, dict):
            if isinstance(schema.get("properties"), dict):
                names.update(schema["properties"])
            for each in schema.values():
                walk(each)
        elif isinstance(schema, list):
            for each in schema:
                walk(each)

    walk(openapi())
    return sorted(names)


def orders() -> list[dict[str, Any]]:
    """Every order of the examples, those that are refused too."""
    paths = [*sorted(EXAMPLES.glob("D-*.json")), *sorted((EXAMPLES / "refused").glob("*.json"))]
    found = [json.loads(path.read_text(encoding="utf-8")) for path in paths]
    return [each.get("order", each) for each in found]


def documents(serials: Mapping[str, str] | None = None) -> list[Any]:
    """Every other document of the examples."""
    return [
        *(body for _, body in _bench(serials or {"any": "W31-00001-S"})),
        *gauge_tables(),
        *(body for _, body in _shelves()),
    ]


def targets(house: House) -> dict[str, Posted]:
    """Every family by its name."""
    known, wheels, numbers = orders(), house.facts["wheels"], [*house.facts["orders"].values()]
    partial = [
        {},
        *(
            {name: each[name] for name in names if name in each}
            for each in known
            for names in (("kind", "use"), ("front", "use", "kind"), ("rear",), tuple(each))
        ),
    ]
    families: dict[str, list[tuple[str, Any]]] = {
        "orders": [
            (f"POST {API}/orders{where}", each) for each in known for where in ("", "/check")
        ],
        "choices": [(f"POST {API}/choices", each) for each in partial],
        "batches": [
            (f"POST {API}/orders/batch", {"orders": known[n : n + 4]})
            for n in range(0, len(known), 3)
        ],
        "moves": [*_moves(numbers)],
        "bench": [*_bench(wheels)],
        "gauges": [
            *((f"POST {API}/gauges", table) for table in gauge_tables()),
            (f"POST {API}/gauges/check", {"gauge": "G1", "good": False, "by": "M. K."}),
        ],
        "shelves": [*_shelves()],
        "draft": [*_draft()],
    }
    makers: dict[str, Gauges | Shelves] = {
        "gauges": Gauges(demo_edition()),
        "shelves": Shelves(demo_edition()),
    }
    return {name: Posted(house, name, seeds, makers.get(name)) for name, seeds in families.items()}


def _moves(numbers: Sequence[str]) -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for number in numbers:
        found += [
            (f"POST {API}/orders/{number}/{move}", {**WHO, "dry_run": dry})
            for move in ("hold", "approve", "release", "cancel")
            for dry in (False, True)
        ]
        order = {**example("D-1001"), "revision": 2}
        changes = [
            order,
            *(json.loads(p.read_text()) for p in (EXAMPLES / "changes").glob("*.json")),
        ]
        found += [
            (f"POST {API}/orders/{number}/change", {**WHO, "old_revision": 1, "order": each})
            for each in changes
        ]
    return found


def _bench(wheels: Mapping[str, str]) -> list[tuple[str, Any]]:
    who = {"key": "k-00000001", "issue": "A", "by": "M. K."}
    passes = [
        json.loads(path.read_text()) for path in sorted((EXAMPLES / "bench").glob("*pass*.json"))
    ]
    by_hole = {"given_as": "full", "by_hole_mm": [0.1, -0.1] * 12, "at_joint": True}
    passes.append(
        {
            **passes[0],
            "lateral": by_hole,
            "radial": by_hole,
            "pitch": {"left_hz": 300, "right_hz": 310},
        }
    )
    steps: list[dict[str, Any]] = [
        {
            "station": "rim-gate",
            "rim_serial": "33D-1",
            "batch": "L7",
            "mass_g": 400,
            "lateral_mm": 0.2,
            "radial_mm": 0.3,
            "diameter_of": "erd",
            "diameters_mm": [600.0] * 4,
            "track_widths_mm": [24.1] * 8,
        },
        {
            "station": "kit",
            "bagged_apart": True,
            "scanned": [{"part": "SJB9/267", "count": 26, "batch": "B1"}],
        },
        {"station": "first-spoke", "left_mm": 267.0, "right_mm": 265.0},
        {"station": "half-way", "as_picture": True, "label_at_valve": True, "bed_as_arrow": False},
        {"station": "relief", "round": 1, "before_n": 1150, "after_n": 1140},
        {
            "station": "finishing",
            "left_decal": "LAGOON-S-L",
            "right_decal": "LAGOON-S-R",
            "at_template": True,
            "limits_readable": True,
            "photos": ["p-1"],
        },
        {
            "station": "pair",
            "serial": "W31-00001-S",
            "other_serial": "W31-00002-T",
            "same_finish": True,
        },
        {"station": "drill", "first_hole_good": True},
        {"station": "box"},
        {"station": "ship"},
    ]
    sign = {
        **who,
        "number": 1,
        "verdict": "pass-with-remark",
        "reason": "Good enough for the town.",
    }
    new = [
        {"by": "M. K.", "because": "the rim was measured", "erd_mm": 601.5},
        {"by": "M. K.", "because": "another edition", "edition": 16},
    ]
    found: list[tuple[str, Any]] = []
    for serial in wheels.values():
        at = f"POST {API}/wheels/{serial}"
        found += [(f"{at}/readings", each) for each in passes]
        found += [(f"{at}/steps", {**who, **each}) for each in steps]
        found += [(f"{at}/sign", sign), *((f"{at}/reissue", each) for each in new)]
    return found


def _shelves() -> list[tuple[str, Any]]:
    arrivals = json.loads((EXAMPLES / "stock" / "arrivals.json").read_text())
    lines = [
        {"kind": "counted", "part": "NA12/black", "pieces": 50, "bin": "N1"},
        {"kind": "called-off", "part": "KF4/24", "pieces": 1},
        {"kind": "received", "part": "OR33D/24", "pieces": 3, "announced": False},
    ]
    counted = {
        "key": "k-00000001",
        "by": "S. Keeper",
        "reason": "counted by hand",
        "movements": lines,
    }
    return [(f"POST {API}/stock/movements", each) for each in (arrivals, counted)]


def _draft() -> list[tuple[str, Any]]:
    who, draft = {"by": "A. Author"}, f"{API}/catalog/draft"
    found: list[tuple[str, Any]] = []
    for path in sorted((EXAMPLES / "editions").glob("*.json")):
        edits = json.loads(path.read_text(encoding="utf-8"))
        found += [(f"POST {draft}/changes", {**who, "edits": edits})]
        found += [(f"POST {draft}/changes", {**who, "edits": [each]}) for each in edits]
    edition = demo_edition()
    for kind in KINDS:
        for code, part in [*getattr(edition, kind).items()][:2]:
            values = part.model_dump(mode="json", exclude={"code"}, exclude_defaults=True)
            found.append((f"PUT {draft}/parts/{code}", {**who, "kind": kind, "values": values}))
    for name, rule in edition.rules.items():
        values = rule.model_dump(mode="json", exclude={"id"}, exclude_defaults=True)
        found.append((f"PUT {draft}/rules/{name}", {**who, "values": values}))
    found += [
        (f"PUT {draft}/house/{key}", {**who, "value": value})
        for key, value in (
            ("tension.gauge_error", 0.03),
            ("name", "Oddmoor"),
            ("bench", {"relief_rounds": 3}),
        )
    ]
    found.append((f"POST {draft}/carry-over", who))
    found.append((f"POST {draft}", who))
    found.append(
        (f"POST {draft}/publish", {"author": "A. Author", "approver": "B. Second", "reason": "why"})
    )
    return found
