"""From a posted order to a wheel that can be built: wheels, rules over wheels, sheets, benches.

The rooms, and who may call whom (an arrow never points the other way; the build checks it):

    cli > web > actions > sheet | storage | space > orders | bench > plan
        > catalog | wheel | documents > codes | states > findings | units > errors | remembered

``wheel``      mechanics of a spoked wheel on bare numbers
``catalog``    parts, rules and house figures of one edition
``documents``  the one strict reader of everything that is posted
``plan``       one order position and one edition make the plan
``orders``     the posted document and every check
``bench``      what is read at the stand, what it means, what to turn next
``space``      all that can be ordered: counted, offered, compared, stocked for
``sheet``      the plan as ink: content, layout, drawing
``storage``    SQLite
``actions``    one file per thing the workshop does
``web``, ``cli``  the two doors

``errors``  the exception tree    ``findings``  one thing to say    ``codes``  what a finding's code means
``remembered``  what was used lately
``units``   the only conversions  ``states``    of orders and wheels, and every move between them
"""

__version__ = "0.1.0"
