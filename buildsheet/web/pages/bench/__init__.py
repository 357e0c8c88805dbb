"""The page behind a sheet's code: what to do at the stand, typed there, judged there.

``page``   what a code opens                 ``posts``   what is sent from it
``day``    the stations, and which is now    ``verdict`` the newest pass in words, what to turn
``field``  one thing that a form asks        ``typed``   a form to its document, and back
``station_forms`` ``reading_form`` ``other_forms``  what every form asks
``drawing`` the wheel with every spoke       ``labels_round``  where its numbers and readings stand
``curves``  what the script places readings by
``meanwhile``  what others did while a page lay open
"""

from __future__ import annotations

from flask import Blueprint

from buildsheet.web.pages.bench import page, posts


def add_routes(blueprint: Blueprint) -> None:
    """The routes of every file here."""
    page.add_routes(blueprint)
    posts.add_routes(blueprint)
