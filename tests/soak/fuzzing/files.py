"""Files that are read whole: catalog files, the shelves' file, wheel files."""

from __future__ import annotations

import json
from collections.abc import Sequence
from random import Random
from typing import Final

from buildsheet.actions.wheel_figures import wheel_figures
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.stock import read_stock
from buildsheet.findings import Finding
from tests.catalog.demo_texts import demo_edition, demo_texts
from tests.soak.fuzzing.loop import Fault, Input, Told
from tests.soak.fuzzing.texts import bent_bytes, bent_lines
from tests.soak.fuzzing.trees import Bender, known_values
from tests.workshops import EXAMPLES

MOST_TOLD: Final = 200_000
"""Characters that are said about one file in one finding: nobody reads more."""


def told(accepted: bool, findings: Sequence[Finding]) -> Told:
    """Codes of the findings; raises Fault where something is refused without one, or none is JSON."""
    if not accepted and not any(each.blocks for each in findings):
        raise Fault("refused without a finding")
    for each in findings:
        text = json.dumps(each.as_json(), allow_nan=False, ensure_ascii=False)
        text.encode("utf-8")
        if len(text) > MOST_TOLD:
            raise Fault(f"one finding of {len(text)} characters")
    return Told(accepted, frozenset(each.code for each in findings))


class CatalogFiles:
    """One file of the demo catalog, bent, among the others as they are."""

    name = "catalog files"

    def __init__(self) -> None:
        self._texts = dict(demo_texts())
        texts = " ".join(self._texts.values())
        self._words = sorted({*texts.replace('"', " ").replace(".", " ").split()})[:4000]

    def seeds(self) -> Sequence[Input]:
        """The files, and files as large and as deep as may be."""
        return [*(Input(name, text.encode()) for name, text in self._texts.items()), *_bombs()]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Lines, numbers and words changed; or bytes."""
        base = dice.choice(corpus[-100:] if dice.random() < 0.3 else corpus)
        where = (
            base.where
            if dice.random() < 0.99
            else dice.choice(("", "house", "rules/\u00fc.toml", "a/../b"))
        )
        if dice.random() < 0.75:
            return Input(where, bent_lines(dice, base.body, self._words))
        return Input(where, bent_bytes(dice, base.body, [each.body for each in corpus[:12]]))

    def ask(self, one: Input) -> Told:
        """Read with the other files of the demo."""
        try:
            text = one.body.decode()
        except UnicodeDecodeError:
            # Said where the disk is read, before any of this.
            text = one.body.decode("utf-8", "replace")
        edition, findings = read_catalog({**self._texts, one.where: text})
        return told(edition is not None, findings)

    def rest(self) -> None:
        """Nothing is stored."""


def _bombs() -> list[Input]:
    texts = {
        "parts/washers.toml": [
            "".join(f"[W{n}]\nname = 'x'\n" for n in range(20_000)),
            "".join(f"k{n} = 1\n" for n in range(60_000)),
            "a." * 5000 + "b = 1\n",
            "x = " + "[" * 5000 + "]" * 5000,
            "x = " + "{a = " * 3000 + "1" + "}" * 3000,
            "[A]\n" + "".join(f"b{n}.c.d.e = 1\n" for n in range(20_000)),
            "[[A]]\n" * 50_000,
            "[A]\nx = [" + "1," * 300_000 + "]",
            "[A]\nname = '" + "x" * 900_000 + "'",
            "[" + ".".join(["a"] * 20_000) + "]",
            '[A]\nname = "' + "\\u0041" * 100_000 + '"',
            "# " + "x" * 999_000,
            "\n" * 999_000,
            "[A]\nx = " + "9" * 4200,
        ],
        "rules/wheels.toml": [
            "".join(f"[[rule]]\nid = 'a{n}'\n" for n in range(20_000)),
            "".join(_rule(n) for n in range(1200)),
            "rule = [" + "{id = 'a'}," * 20_000 + "]",
        ],
        "parts/rims.toml": ["".join(f"[R{n}]\nstate = 'active'\n" for n in range(20_000))],
        "house.toml": ["".join(f"[t{n}]\nx = 1\n" for n in range(50_000))],
    }
    return [Input(name, text.encode()) for name, each in texts.items() for text in each]


def _rule(number: int) -> str:
    when = " || ".join([f"wheel.holes == {number}.0"] * 12)
    return (
        f"[[rule]]\nid = 'a{number}'\nscope = 'wheel'\nwhen = '{when}'\nneeds = 'rim.depht_mm > {number}'\n"
        "severity = 'note'\nat = 'rmi'\nsays = '{rim.codde}'\nreason = 'x'\nsource = 'x'\nowner = 'x'\n"
        "accepts = [{ rim = 'X' }]\nrefuses = [{ rim = 'OR33D' }]\n"
    )


class ShelfFiles:
    """The shelves' file."""

    name = "shelf files"

    def __init__(self) -> None:
        lines = [
            "part,variant,bin,quantity",
            "OR33D,24,R1-24,24",
            "NA12,black,N1,1000",
            "SJB9,267,S1,50",
        ]
        self._seed = "\n".join([*lines, "KF2,24,H1,5", "B,,D1,9"]) + "\n"
        edition = demo_edition()
        self._edition = edition
        self._words = [
            *edition.rims,
            *edition.hubs,
            *edition.spokes,
            *edition.nipples,
            "black",
            "24",
            "-1",
        ]

    def seeds(self) -> Sequence[Input]:
        """A sound one, and large ones."""
        texts = (
            self._seed,
            self._seed.replace(",", ";"),
            "part\n" * 90_000,
            "," * 900_000,
            '"' * 900_001,
            self._seed + "OR33D,24,x,1\n" * 50_000,
            self._seed + "ORXX,24,x,1\n" * 50_000,
        )
        return [Input("stock.csv", text.encode()) for text in texts]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Lines, numbers and words changed; or bytes."""
        base = dice.choice([each for each in corpus if len(each.body) < 5000])
        if dice.random() < 0.7:
            return Input("stock.csv", bent_lines(dice, base.body, self._words))
        return Input("stock.csv", bent_bytes(dice, base.body))

    def ask(self, one: Input) -> Told:
        """Read against the demo's edition."""
        lines, findings = read_stock(one.body.decode("utf-8", "replace"), self._edition)
        return told(bool(lines) or not findings, findings)

    def rest(self) -> None:
        """Nothing is stored."""


class WheelFiles:
    """A wheel as bare dimensions: into the mechanics."""

    name = "wheel files"

    def __init__(self) -> None:
        self._seeds = [path.read_text() for path in sorted((EXAMPLES / "wheels").glob("*.json"))]
        full = json.loads(self._seeds[0])
        full["rim"] |= {"pair_shift_deg": 1.5, "spoke_limit_n": 1200}
        full["hub"]["left"] = {"line_from_axis_mm": 21, "seat_ahead_mm": 3, "from_centre_mm": 30}
        full["hub"]["flange_turn"] = 0.25
        full["tyre"] = {"squeeze_n_per_mm": 3.0}
        full["nipple_turns"] = True
        crossed = json.loads(self._seeds[0])
        for side in ("left", "right"):
            crossed["spokes"][side]["crossings"] = 3
        self._seeds += [json.dumps(full), json.dumps(crossed)]
        known = known_values(self._seeds)
        self._bender = Bender(known, sorted(known), gently=2.5)

    def seeds(self) -> Sequence[Input]:
        """The examples, and the largest wheel there may be."""
        largest = json.loads(self._seeds[0])
        largest["rim"]["holes"] = 144
        for side in ("left", "right"):
            largest["spokes"][side]["count"] = 72
        largest["loads"] = [{"radial_n": 500, "at_hole": n + 1} for n in range(50)]
        return [Input("wheel.json", text.encode()) for text in (*self._seeds, json.dumps(largest))]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Bent as a tree, mostly; else as bytes."""
        base = dice.choice(dice.choice((corpus[: len(self._seeds)], corpus, corpus[-60:])))
        if dice.random() < 0.9:
            try:
                text = self._bender.bent(dice, base.body.decode())
                return Input("wheel.json", text.encode("utf-8", "surrogatepass"))
            except (ValueError, RecursionError):
                pass
        return Input("wheel.json", bent_bytes(dice, base.body))

    def ask(self, one: Input) -> Told:
        """Answered, or refused with every fault; an answer holds numbers that are numbers."""
        answer, findings = wheel_figures(one.body.decode("utf-8", "surrogateescape"))
        if answer is not None:
            json.dumps(answer, allow_nan=False)
            return Told(True, frozenset(each.code for each in findings))
        return told(False, findings)

    def rest(self) -> None:
        """Nothing is stored."""
