"""From a posted order to a wheel that can be built: wheels, rules over wheels, sheets, benches.

The rooms, and who may call whom (an arrow never points the other way; the build checks it):

    cli > web > actions > sheet | storage > orders | bench > plan > catalog | wheel
        > findings | units > errors

``wheel``    mechanics of a spoked wheel on bare numbers
``catalog``  parts and house figures of one edition
``plan``     one order position and one edition make the plan
``orders``   the posted document and every check
``sheet``    the plan as ink: content, layout, drawing
``storage``  SQLite
``actions``  one file per thing the workshop does
``web``, ``cli``  the two doors
"""

__version__ = "0.1.0"
