"""Codes of the families ``order`` and ``data``: the document's form, the catalog's answers."""

from __future__ import annotations

from typing import Final

from buildsheet.codes import CATALOG, FORM, HOUSE, CodeEntry, entry

_FORM_REASON = "An order that is read in two ways is built in the wrong one."
_TEXT_REASON = "What cannot be read cannot be built, and must not reach paper or label."

CODES: Final[tuple[CodeEntry, ...]] = (
    entry("order.too-large", "block", "The document is larger than any order.", _TEXT_REASON, FORM),
    entry("order.not-utf8", "block", "The text is not UTF-8.", _TEXT_REASON, FORM),
    entry("order.not-json", "block", "The text is no JSON.", _TEXT_REASON, FORM),
    entry("order.too-deep", "block", "The document nests too deep.", _TEXT_REASON, FORM),
    entry(
        "order.duplicate-member",
        "block",
        "A member stands twice in one object.",
        "One of the two values would be lost without a word.",
        FORM,
    ),
    entry(
        "order.not-a-number",
        "block",
        "A number is not finite or has more digits than a measure can have.",
        _TEXT_REASON,
        FORM,
    ),
    entry(
        "order.text",
        "block",
        "A text is too long, empty, or holds characters that nobody can read.",
        _TEXT_REASON,
        FORM,
    ),
    entry(
        "order.unknown-member",
        "block",
        "The order form has no such member.",
        "A member that is ignored is a wish that is lost.",
        FORM,
        "6.2",
    ),
    entry(
        "order.price-member",
        "block",
        "Prices do not belong into a build order.",
        "The workshop builds what is ordered; money is settled elsewhere and must not leak here.",
        FORM,
        "6.2",
    ),
    entry(
        "order.missing-member", "block", "A needed member is missing.", _FORM_REASON, FORM, "6.2"
    ),
    entry("order.wrong-type", "block", "A value has the wrong type.", _FORM_REASON, FORM, "6.2"),
    entry(
        "order.out-of-range", "block", "A number is outside its range.", _FORM_REASON, FORM, "6.2"
    ),
    entry(
        "order.not-a-choice", "block", "A value is none of the words.", _FORM_REASON, FORM, "6.2"
    ),
    entry("order.date", "block", "A date is no day of the calendar.", _FORM_REASON, FORM, "6.2"),
    entry(
        "order.unused-member",
        "caution",
        "A member is given that this order does not use.",
        "Somebody may have meant something by it.",
        FORM,
    ),
    entry(
        "order.edition-seen",
        "caution",
        "The order was made with another edition of the catalog.",
        "Limits, lengths and parts may have changed since the choice was made.",
        CATALOG,
        "6.2",
    ),
    entry(
        "order.market",
        "block",
        "There are no papers for the market.",
        "Label, manual and reflectors follow the law of the country where the wheel is sold.",
        "Regulation (EU) 2023/988 and 16 CFR 1512, read in summaries; figures kept in the house file",
        "I07, I08",
    ),
    entry(
        "order.papers",
        "note",
        "What label and manual of this market are.",
        "A wheel may not be sold without papers that its rider can read.",
        "Regulation (EU) 2023/988, read in summaries; figures kept in the house file",
        "I07, I08",
    ),
    entry(
        "order.note",
        "note",
        "The order carries a note for people.",
        "Nothing in a note was checked, and nothing in it steers the build.",
        HOUSE,
    ),
    entry(
        "data.unknown-part",
        "block",
        "The catalog has no part with this code.",
        "Only parts of the edition are known well enough to be built with.",
        CATALOG,
        "J01",
    ),
    entry(
        "data.part-state",
        "block",
        "The part is not open for new orders in this edition.",
        "Ended and unfinished parts have no promise of supply or of evidence.",
        CATALOG,
        "J01",
    ),
    entry(
        "data.fact-missing",
        "block",
        "A part does not say what a check needs to know.",
        "What nobody has measured or released is not assumed to be good.",
        CATALOG,
        "J06",
    ),
    entry(
        "data.cannot-compute",
        "block",
        "The figures of the parts lie outside what the formulas hold for.",
        "A wheel whose lengths and tensions cannot be computed cannot be planned.",
        "geometry and statics",
        "J06",
    ),
)
