"""The description of the API, OpenAPI 3.1, made from the models it speaks of.

``shapes``    what is answered, as models        ``document``  the whole description
``routes``    one entry for each route
"""
