"""Who may do what over HTTP.

``matrix``    role x route, as data          ``gate``     asks it before every request
``who``       the visitor of this request    ``sources``  a key that belongs to one sender
``hands``     nobody acts under another name
``doors``     host names, TLS, the proxy     ``cookie``   how a browser keeps its session

A key opens the API, a session the pages and the API. A workshop file that never had a person or a key
asks nobody; ``serve`` keeps such a service on this machine.
"""
