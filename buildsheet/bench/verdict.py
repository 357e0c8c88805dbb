"""What one pass amounts to. Safety speaks first, evidence second; nothing is passed for lack of proof.

any spoke above stop or limit                      -> stop
otherwise anything missing                         -> not-judged
otherwise anything outside what a remark may cover -> rework
otherwise anything only a remark may cover         -> rework, ``may_pass_with_remark``
otherwise                                          -> pass
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from buildsheet.bench import evenness, hints, safety, shape
from buildsheet.bench.codes import found
from buildsheet.bench.evidence import Evidence, Tables, evidence
from buildsheet.bench.figures import SideFigures, both_sides, ratio
from buildsheet.bench.readings import Pass
from buildsheet.bench.task import Task
from buildsheet.findings import Finding, Value, in_stable_order
from buildsheet.wheel.spec import SIDES, Sides

Word = Literal["not-judged", "stop", "rework", "pass", "pass-with-remark"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """``word`` is never ``pass-with-remark`` by itself: a person makes it so with `with_remark`.

    ``sides`` are there where something of both was read, ``ratio`` where every spoke was.
    """

    word: Word
    findings: tuple[Finding, ...]
    evidence: Evidence
    sides: Sides[SideFigures] | None
    ratio: float | None
    may_pass_with_remark: bool = False

    def as_json(self) -> dict[str, Value]:
        """The verdict as other programs read it; forces by hole in newtons."""
        return {
            "verdict": self.word,
            "may_pass_with_remark": self.may_pass_with_remark,
            "tension_n": list(self.evidence.forces_n),
            "gauge_tables": list(self.evidence.tables),
            "gauge_error_share": self.evidence.error_share,
            "sides": {side: _side_json(self.sides[side]) for side in SIDES} if self.sides else {},
            "ratio": self.ratio,
            "findings": [each.as_json() for each in self.findings],
        }


def _side_json(figures: SideFigures) -> dict[str, Value]:
    return {
        "mean_n": figures.mean_n,
        "lowest_n": figures.lowest_n,
        "lowest_hole": figures.lowest_hole,
        "highest_n": figures.highest_n,
        "highest_hole": figures.highest_hole,
        "below_percent": figures.below_percent,
        "above_percent": figures.above_percent,
    }


def judge(
    task: Task,
    read: Pass,
    tables: Tables,
    day: date,
    earlier: int = 0,
    of_the_day: tuple[Finding, ...] = (),
) -> Verdict:
    """The verdict on one pass; ``earlier`` is how many passes of this wheel came before it, ``of_the_day``
    what the gauge's daily check says: a block there is missing evidence."""
    proof = evidence(task, read, tables, day)
    stops = tuple(safety.above_stop(task, proof))
    sides = both_sides(task, proof.forces_n)
    # the spokes left out may be the slack ones: a part of a side has no ratio
    measured = ratio(task, sides) if sides and None not in proof.forces_n else None
    rest = (
        *safety.too_slack(task, proof),
        *evenness.evenness(task, proof),
        *(hints.wrong_ratio(task, measured, read.dish) if measured is not None else ()),
        *shape.shape(task, read),
        *shape.mass(task, read),
        *shape.workmanship(task, read),
    )
    blocks = any(each.severity == "block" for each in rest)
    remarks = any(each.severity == "approval" for each in rest)
    word: Word
    if stops:
        word = "stop"
    elif proof.missing or any(each.blocks for each in of_the_day):
        word = "not-judged"
    else:
        word = "rework" if blocks or remarks else "pass"
    said = [*proof.missing, *of_the_day, *rest]
    if word == "rework" and earlier >= task.house.bench.retrues_alone:
        said.append(
            found(
                "bench.second-person",
                "caution",
                "",
                f"This is pass {earlier + 1}. Ask a second person to look before the next one.",
                have={"passes": earlier + 1},
                need={"alone": task.house.bench.retrues_alone},
            )
        )
    return Verdict(
        word=word,
        findings=(*in_stable_order([*stops]), *in_stable_order(said)),
        evidence=proof,
        sides=sides,
        ratio=measured,
        may_pass_with_remark=word == "rework" and not blocks,
    )
