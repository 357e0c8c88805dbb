"""The orders that the senders choose from: few documents, so that commits are most of a server's work."""

from __future__ import annotations

import json
from typing import Any, Final

from tests.bench.intake import EXAMPLES, TAKEN

LIGHTER_KG: Final = (0.0, 1.0)


def every_order() -> tuple[dict[str, Any], ...]:
    """Each example that can be built, as it is and with a lighter rider."""
    examples = [
        json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8")) for name in TAKEN
    ]
    return tuple(
        {**each, "use": {**each["use"], "rider_kg": each["use"]["rider_kg"] - lighter_kg}}
        for each in examples
        for lighter_kg in LIGHTER_KG
    )
