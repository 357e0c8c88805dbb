"""From catalog files, handed in as text, to an edition; or to every fault in all of them.

The disk is read elsewhere (`buildsheet.actions.catalog_files`). On any fault there is no edition:
nothing is ever half loaded.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final, TypeVar

from buildsheet.catalog.digest import digest
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.faults import Place, fault, nearest, plain, said, shown
from buildsheet.catalog.house import House
from buildsheet.catalog.links import Shelf, file_of, house_faults, link_faults, size_faults
from buildsheet.catalog.model_faults import checked
from buildsheet.catalog.parts import (
    Decal,
    DrillingProgram,
    Driver,
    EndCaps,
    Hub,
    Nipple,
    Part,
    Rim,
    Spoke,
    Washer,
)
from buildsheet.catalog.plausible import doubts
from buildsheet.catalog.rules import examples
from buildsheet.catalog.rules.reading import RULE_FILE, read_rules
from buildsheet.catalog.rules.rule import Rule
from buildsheet.findings import Change, Finding, in_stable_order

P = TypeVar("P", bound=Part)

HOUSE_FILE: Final = "house.toml"
FILES: Final[tuple[str, ...]] = (HOUSE_FILE, *(file_of(kind) for kind in KINDS))
"""The files that a catalog must have; a kind without parts has an empty file. Rules stand beside
them in any number of files ``rules/<subject>.toml``."""

RULES: Final = "rules/<subject>.toml with a subject in small letters"

LARGEST_FILE = 1_000_000
"""Characters in one file. A workshop's largest, its decals, needs some 10 000."""

MOST_FAULTS: Final = 1000
"""Told of one file. Nobody mends more at once, and each takes a millisecond to say."""

DEEPEST = 8
"""Tables in tables. The catalog's own go four deep."""

_LINE = re.compile(r"\(at line (\d+), column (\d+)\)")


def read_catalog(texts: Mapping[str, str]) -> tuple[Edition | None, tuple[Finding, ...]]:
    """The edition that the files describe, or None and every fault of all files in a stable order.

    ``texts``: file name relative to the catalog (``house.toml``, ``parts/rims.toml``,
    ``rules/spokes.toml``) -> content.
    A fault's ``at`` is a JSON Pointer of file, table and key: ``/parts/rims.toml/OR33D/depth_mm``.
    """
    faults = list(_file_faults(texts))
    tables: dict[str, dict[str, Any] | None] = {}
    for name in (*FILES, *sorted(filter(RULE_FILE.fullmatch, texts))):
        tables[name] = None
        if name in texts:
            tables[name], trouble = _parsed(name, texts[name])
            faults.extend(trouble)
    house = _house(tables[HOUSE_FILE], faults)
    shelf = _shelf(tables, faults)
    faults.extend(link_faults(shelf))
    if house is not None:
        faults.extend(size_faults(house, shelf))
    rules = read_rules(
        {name: each for name, each in tables.items() if name not in FILES},
        examples.Shelf(_faultless(shelf, faults), shelf.named),
        faults,
    )
    if faults or house is None:
        return None, in_stable_order(faults)
    return _edition(house, shelf, rules), ()


def _edition(house: House, shelf: Shelf, rules: Mapping[str, Rule]) -> Edition:
    """Sorted by code, so that editions of one digest answer in one order too."""
    return Edition(
        number=house.edition,
        # without rules the digest is what it was before there were any
        digest=digest({"house": house, **shelf.sound, **({"rules": rules} if rules else {})}),
        house=house,
        rims=_sorted(shelf.of("rims", Rim)),
        hubs=_sorted(shelf.of("hubs", Hub)),
        spokes=_sorted(shelf.of("spokes", Spoke)),
        nipples=_sorted(shelf.of("nipples", Nipple)),
        washers=_sorted(shelf.of("washers", Washer)),
        drivers=_sorted(shelf.of("drivers", Driver)),
        end_caps=_sorted(shelf.of("end_caps", EndCaps)),
        decals=_sorted(shelf.of("decals", Decal)),
        programs=_sorted(shelf.of("programs", DrillingProgram)),
        rules=MappingProxyType(dict(rules)),
    )


def _faultless(shelf: Shelf, faults: list[Finding]) -> dict[str, dict[str, Part]]:
    """The parts that nothing was said about: what an example of a rule makes of the others would only
    repeat it."""
    told = [each.at for each in faults]
    return {
        kind: {
            code: part
            for code, part in parts.items()
            if not _is_within(Place(file_of(kind), (code,)).at, told)
        }
        for kind, parts in shelf.sound.items()
    }


def _is_within(at: str, told: list[str]) -> bool:
    return any(each == at or each.startswith(f"{at}/") for each in told)


def _sorted(parts: Mapping[str, P]) -> Mapping[str, P]:
    return MappingProxyType(dict(sorted(parts.items())))


def _file_faults(texts: Mapping[str, str]) -> Iterator[Finding]:
    for name in FILES:
        if name not in texts:
            says = "the file is missing; a kind without parts has an empty file."
            yield fault("data.missing-file", Place(name), says)
    for name in texts:
        if name not in FILES and not RULE_FILE.fullmatch(name):
            meant = nearest(name, FILES)
            hint = f" Try {meant}." if meant else ""
            says = f"no such catalog file; they are {', '.join((*FILES, RULES))}.{hint}"
            yield fault("data.unknown-file", Place(plain(name)), says, need={"enum": list(FILES)})


def _parsed(name: str, text: str) -> tuple[dict[str, Any] | None, list[Finding]]:
    """The file's tables with lists as tuples, or None and the fault that stops the reading."""
    place = Place(name)
    if len(text) > LARGEST_FILE:
        says = f"{len(text)} characters; allowed are {LARGEST_FILE}."
        return None, [fault("data.unreadable", place, says, have={"found": len(text)})]
    try:
        return _fixed(tomllib.loads(text), DEEPEST), []
    except tomllib.TOMLDecodeError as error:
        return None, [_syntax(place, str(error), text)]
    except RecursionError:
        says = f"tables or lists go deeper than {DEEPEST}."
        return None, [fault("data.unreadable", place, says, need={"deepest": DEEPEST})]
    except ValueError:  # tomllib hands on what int() says to thousands of digits
        says = "a number has too many digits to be one."
        return None, [fault("data.unreadable", place, says)]


def _syntax(place: Place, message: str, text: str) -> Finding:
    found = _LINE.search(message)
    line = int(found[1]) if found else text.count("\n") + 1
    column = int(found[2]) if found else 0
    what = plain(message.split(" (at ", maxsplit=1)[0])
    where = f"line {line}, column {column}" if found else f"line {line}, the file's end"
    says = f"not TOML at {where}: {what}."
    return fault("data.syntax", place, says, have={"line": line, "column": column})


def _fixed(value: Any, room: int) -> Any:
    """Lists as tuples, all the way down: the models keep nothing that can be changed later."""
    if room < 0:
        raise RecursionError
    if isinstance(value, list):
        return tuple(_fixed(each, room - 1) for each in value)
    if isinstance(value, dict):
        return {key: _fixed(each, room - 1) for key, each in value.items()}
    return value


def _house(table: dict[str, Any] | None, faults: list[Finding]) -> House | None:
    if table is None:
        return None
    house, trouble = checked(House, table, Place(HOUSE_FILE))
    faults.extend(trouble)
    if house is not None:
        faults.extend(house_faults(house))
    return house


def _shelf(tables: Mapping[str, dict[str, Any] | None], faults: list[Finding]) -> Shelf:
    sound: dict[str, dict[str, Part]] = {}
    named: dict[str, tuple[str, ...] | None] = {}
    for kind, model in KINDS.items():
        table = tables[file_of(kind)]
        sound[kind] = {}
        named[kind] = None if table is None else tuple(table)
        told = len(faults)
        for code, values in (table or {}).items():
            if len(faults) - told > MOST_FAULTS:
                faults.append(_enough(Place(file_of(kind), (code,))))
                break
            part, trouble = _part(model, Place(file_of(kind), (code,)), code, values)
            faults.extend(trouble)
            if part is not None:
                sound[kind][code] = part
    return Shelf(sound=sound, named=named)


def _enough(place: Place) -> Finding:
    says = (
        f"more than {MOST_FAULTS} faults stand above; mend those first, the rest was not looked at."
    )
    return fault("data.wrong-count", place, says, need={"most_faults": MOST_FAULTS})


def _part(
    model: type[Part], place: Place, code: str, values: object
) -> tuple[Part | None, list[Finding]]:
    """One part, or None and its faults. A part with doubtful dimensions still stands for the links."""
    if not isinstance(values, dict):
        says = f"found {said(values)}; allowed is a table, one for each part."
        return None, [fault("data.wrong-type", place, says, have={"found": shown(values)})]
    part, trouble = checked(model, {"code": code, **values}, place)
    if "code" in values:
        says = "the code is the table's name; leave this line out."
        trouble.append(fault("data.unknown-key", place.under("code"), says))
    if part is not None:
        trouble.extend(_doubtful(part, place))
    return part, trouble


def _doubtful(part: Part, place: Place) -> Iterator[Finding]:
    for doubt in doubts(part):
        here = place.under(*doubt.keys)
        yield fault(
            doubt.code,
            here,
            doubt.says,
            have=doubt.have,
            need=doubt.need,
            also=tuple(place.under(key) for key in doubt.also),
            try_=(Change(here.at, doubt.values),) if doubt.values else (),
        )
