"""One request over the network; anything but a plain 2xx is trouble, in a line."""

from __future__ import annotations

import http.client
import urllib.error
import urllib.request
from typing import Final

from buildsheet.actions.webhooks.letter import Letter

WAIT_S: Final = 10.0
MOST_WORDS: Final = 200


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    """An event goes to the address that was given, and nowhere that address points to."""

    def redirect_request(self, *_: object, **__: object) -> None:
        return None


# No proxy of the environment either: it would read what is sent to another machine of the house.
_OPENER: Final = urllib.request.build_opener(_NoRedirect, urllib.request.ProxyHandler({}))


def post(sent: Letter) -> str:
    """'' where the receiver took it, else what went wrong."""
    request = urllib.request.Request(  # noqa: S310 - the scheme was judged when it was added
        sent.url, data=sent.body, headers=dict(sent.headers), method="POST"
    )
    try:
        with _OPENER.open(request, timeout=WAIT_S) as answer:
            status = int(answer.status)
    except urllib.error.HTTPError as refused:
        refused.close()
        return f"answered {refused.code}"
    except urllib.error.URLError as unreached:
        return f"not reached: {unreached.reason}"[:MOST_WORDS]
    except (OSError, ValueError, http.client.HTTPException) as trouble:
        return f"not reached: {trouble}"[:MOST_WORDS]
    return "" if 200 <= status < 300 else f"answered {status}"
