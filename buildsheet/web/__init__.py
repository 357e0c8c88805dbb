"""The workshop over HTTP: JSON under ``/api/v1`` for other systems, plain pages for people.

``app``       the application, put together       ``api``      the JSON routes
``problems``  every refusal, as RFC 9457 has it   ``pages``    the HTML routes, working without scripts
``guards``    request numbers, headers, origins   ``openapi``  the description of the API, OpenAPI 3.1
``access``    who may do what                     ``limits``   how much a request may carry
``observing`` figures for a scraper, the log      ``addresses``  those of systems, those of people
``turns``     posted orders go through a worker one after another
``framework`` Flask without what is done for every request and never needed here
``served_by`` a worker leaves with its server     ``workshop_here``  the workshop of this request

Nothing here decides anything about wheels: a route reads the request, calls one action, and shows
what it answered.
"""
