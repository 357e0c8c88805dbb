"""The bench's routes, described."""

from __future__ import annotations

from typing import Final

from buildsheet.actions.bench.gauges import CheckDocument, TableDocument
from buildsheet.actions.bench.reissue_document import ReissueDocument
from buildsheet.actions.bench.sign import SignDocument
from buildsheet.bench.document import PassDocument
from buildsheet.web.openapi import bench_shapes as shapes
from buildsheet.web.openapi.route import Route, in_path

_SERIAL = in_path("serial", "A wheel's serial, such as W26-00017-F.")
_UNKNOWN = {404: "There is no such wheel."}
_BODY = {
    400: "The body cannot be read as JSON.",
    413: "The body is larger than 64 KiB.",
    415: "The body is not sent as application/json.",
    422: "The document breaks its form; every fault is named.",
}
_REPLAY = {201: {"Idempotent-Replay": "true for the first answer to the same key, again."}}

ROUTES: Final[tuple[Route, ...]] = (
    Route(
        "get",
        "/wheels/{serial}/bench",
        "showBench",
        "A wheel at the stand: targets, what was done, what is next, and whether a reading stopped it",
        {200: ("The wheel.", shapes.BenchStanding)},
        _UNKNOWN,
        parameters=(_SERIAL,),
    ),
    Route(
        "post",
        "/wheels/{serial}/steps",
        "takeStep",
        "One step at a station: judged and kept, whatever it amounts to",
        {201: ("Kept.", shapes.StepAnswer)},
        {**_BODY, **_UNKNOWN},
        body=shapes.StepBody,
        parameters=(_SERIAL,),
        headers=_REPLAY,
    ),
    Route(
        "post",
        "/wheels/{serial}/readings",
        "takePass",
        "One pass of readings: verdict, and what to turn next",
        {201: ("Kept and judged.", shapes.PassAnswer)},
        {**_BODY, **_UNKNOWN},
        body=PassDocument,
        parameters=(_SERIAL,),
        headers=_REPLAY,
    ),
    Route(
        "post",
        "/wheels/{serial}/sign",
        "signPass",
        "Stand for the newest pass by name; with a remark, by reason too",
        {201: ("Signed; or why not.", shapes.SignAnswer)},
        {**_BODY, **_UNKNOWN},
        body=SignDocument,
        parameters=(_SERIAL,),
        headers=_REPLAY,
    ),
    Route(
        "post",
        "/wheels/{serial}/reissue",
        "reissueSheet",
        "The sheet again, under another edition or for the rim as measured; the old one is void",
        {
            200: ("It would say the same: the old one stays.", shapes.IssueAnswer),
            201: ("The new issue.", shapes.IssueAnswer),
        },
        {
            **_BODY,
            404: "There is no such wheel or edition.",
            422: "The document breaks its form, or the wheel cannot have such a sheet: every reason.",
        },
        body=ReissueDocument,
        parameters=(_SERIAL,),
    ),
    Route(
        "get",
        "/wheels/{serial}/truing",
        "showTruing",
        "What to turn next, from the newest pass",
        {200: ("The plan.", shapes.TruingAnswer)},
        _UNKNOWN,
        parameters=(_SERIAL,),
    ),
    Route(
        "get",
        "/gauges",
        "listGauges",
        "The newest calibration table of every gauge and spoke type",
        {200: ("The tables.", shapes.GaugeList)},
    ),
    Route(
        "post",
        "/gauges",
        "addGaugeTable",
        "A calibration table; one that is there is never edited",
        {
            200: ("The very same table was there.", shapes.KeptAnswer),
            201: ("Kept.", shapes.KeptAnswer),
        },
        _BODY,
        body=TableDocument,
    ),
    Route(
        "post",
        "/gauges/check",
        "checkGauge",
        "A gauge's check of the day",
        {201: ("Kept.", shapes.KeptAnswer)},
        _BODY,
        body=CheckDocument,
    ),
)
