"""Who the wheel is: order, sheet, edition; what is in it; who stands for it and what was read with."""

from __future__ import annotations

from buildsheet.bench.stations.labels import called
from buildsheet.sheet.as_built.document import NO_PART, Recorded, moment, words
from buildsheet.sheet.content.rounding import TIMES
from buildsheet.wheel.spec import SIDES

Row = tuple[str, ...]
VERDICTS = {"pass": "PASS", "pass-with-remark": "PASS WITH A REMARK"}
NO_CERTIFICATE = "NO CERTIFICATE"


def verdict(record: Recorded) -> str:
    """The word that stands on top. Only a signed record has one that anybody may rely on."""
    if record.at("certificate") is not True:
        return NO_CERTIFICATE
    return VERDICTS.get(record.text("verdict"), NO_CERTIFICATE)


def why(record: Recorded) -> str:
    """Who stands for it; or why nobody does."""
    if verdict(record) == NO_CERTIFICATE:
        return " ".join(words(each) for each in record.values("no_certificate_because"))
    reason = record.text("signed", "reason", absent="")
    said = (
        f"pass {record.text('signed', 'pass')}, signed by {record.text('signed', 'by')}"
        f" at {moment(record.text('signed', 'at'))}"
    )
    return f"{said}: {reason}" if reason else said


def sheet_rows(record: Recorded) -> tuple[Row, ...]:
    """Order, sheet, edition."""
    void = [
        f"{each.text('issue')} ({each.text('because')})" for each in record.rows("sheet", "void")
    ]
    return (
        ("order", f"{record.text('order', 'number')} of {record.text('order', 'source')}"),
        ("revision", record.text("order", "revision")),
        ("sheet issue", record.text("sheet", "issue")),
        ("issued", moment(record.text("sheet", "issued_at"))),
        ("void issues", ", ".join(void) or NO_PART),
        ("edition", record.text("edition", "number")),
        ("its digest", _short(record.text("edition", "digest"))),
        ("plan", _short(record.text("sheet", "fingerprint"))),
        ("limit set by", record.text("planned", "set_by")),
    )


def part_rows(record: Recorded) -> tuple[Row, ...]:
    """Everything in the wheel with serials and batches."""
    rim, hub, nipple = ("parts", "rim"), ("parts", "hub"), ("parts", "nipple")
    washer = record.text(*nipple, "washer", absent="no washer")
    return (
        ("rim", f"{record.text(*rim, 'code')}, {record.text(*rim, 'holes')} holes"),
        ("rim serial", f"{record.text(*rim, 'serial')}; batch {record.text(*rim, 'batch')}"),
        ("drilling", record.text(*rim, "drilling")),
        ("hub", f"{record.text(*hub, 'code')}; serial {record.text(*hub, 'serial')}"),
        (
            "driver, caps",
            f"{record.text(*hub, 'driver', absent=NO_PART)}, "
            f"{record.text(*hub, 'end_caps', absent=NO_PART)}",
        ),
        *((f"spokes {side.upper()}", spokes(record, side)) for side in SIDES),
        (
            "nipples",
            f"{record.text(*nipple, 'code')} {record.text(*nipple, 'colour')}, {washer}",
        ),
        ("decals", record.text("parts", "decals", absent=NO_PART)),
    )


def spokes(record: Recorded, side: str) -> str:
    """One side's spokes: how many, which, how long."""
    of = ("parts", "spokes", side)
    crossings = record.at(*of, "crossings")
    crossed = "as the hub has it" if crossings is None else f"{crossings} crossed"
    return (
        f"{record.text(*of, 'count')} {TIMES} {record.text(*of, 'type')}"
        f" {record.text(*of, 'length_mm')} mm, {crossed}"
    )


def people_rows(record: Recorded) -> tuple[Row, ...]:
    """Who read and signed, and what its tensions were read with."""
    error = record.number("measured", "gauge_error_share")
    return (
        ("read by", record.text("measured", "by")),
        ("read at", moment(record.text("measured", "at"))),
        ("pass", record.text("measured", "pass")),
        ("passes read", str(len(record.rows("passes")))),
        ("signed by", record.text("signed", "by")),
        ("signed at", moment(record.text("signed", "at"))),
        ("gauge", record.text("measured", "gauge")),
        ("gauge table", record.text("measured", "gauge_tables")),
        ("gauge error", words(None) if error is None else f"± {100.0 * error:g} %"),
    )


def step_rows(record: Recorded) -> tuple[Row, ...]:
    """Every station, done or not recorded."""
    rows: list[Row] = []
    for each in record.rows("steps"):
        times = each.at("times")
        name = called(each.text("station"))
        shown = f"{name}, {times} times" if isinstance(times, int) and times > 1 else name
        rows.append((shown, moment(each.text("done")), each.text("by", absent="")))
    return tuple(rows)


def pass_rows(record: Recorded, most: int) -> tuple[Row, ...]:
    """The last passes of readings, and how many came before them."""
    rows = [
        (
            f"pass {each.text('number')}, issue {each.text('issue')}",
            each.text("verdict"),
            moment(each.text("at")),
            each.text("by"),
        )
        for each in record.rows("passes")
    ]
    if not rows:
        return (("readings", words(None)),)
    if len(rows) > most:
        left_out = len(rows) - most + 1
        return ((f"{left_out} earlier passes: see the JSON record",), *rows[-most + 1 :])
    return tuple(rows)


def remarks(record: Recorded) -> tuple[str, ...]:
    """What was said of the pass that counts."""
    return tuple(each.text("says") for each in record.rows("measured", "findings"))


def _short(digest: str) -> str:
    return digest.removeprefix("sha256:")[:20]
