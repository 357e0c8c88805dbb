"""``catalog``: the product manager's desk, one file for each few commands.

``files``     load, export, check        ``draft``    draft, change
``publish``   publish, roll-back         ``editions`` editions
``approve``   approve
``impact``    impact                     ``lengths``  lengths
``standing``  standing
``table``     import, and the .xlsx of export
``count``     count
``told``      drafts and differences in words, and refusals that are no fault of the program
"""

from __future__ import annotations

from buildsheet.cli.group import Commands

catalog = Commands(
    "catalog",
    help="Parts, house figures and rules: drafts, editions, files.",
    where={
        "load": "buildsheet.cli.catalog.files:load",
        "export": "buildsheet.cli.catalog.files:export",
        "check": "buildsheet.cli.catalog.files:check",
        "count": "buildsheet.cli.catalog.count:count",
        "import": "buildsheet.cli.catalog.table:import_file",
        "draft": "buildsheet.cli.catalog.draft:draft",
        "change": "buildsheet.cli.catalog.draft:change",
        "publish": "buildsheet.cli.catalog.publish:publish",
        "approve": "buildsheet.cli.catalog.approve:approve",
        "roll-back": "buildsheet.cli.catalog.publish:roll_back",
        "editions": "buildsheet.cli.catalog.editions:editions",
        "impact": "buildsheet.cli.catalog.impact:impact",
        "lengths": "buildsheet.cli.catalog.lengths:lengths",
        "standing": "buildsheet.cli.catalog.standing:standing",
    },
)
