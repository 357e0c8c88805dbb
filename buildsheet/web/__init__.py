"""The workshop over HTTP: JSON under ``/api/v1`` for other systems, plain pages for people.

``app``       the application, put together       ``api``      the JSON routes
``problems``  every refusal, as RFC 9457 has it   ``pages``    the HTML routes, working without scripts
``guards``    request numbers, headers, origins   ``openapi``  the description of the API, OpenAPI 3.1

Nothing here decides anything about wheels: a route reads the request, calls one action, and shows
what it answered.
"""
