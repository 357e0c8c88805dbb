"""Edits of catalog files: the text of a file changes where an edit says so, and nowhere else.

``edits``   what an edit can be, and how a list of them is written down
``amend``   a list of edits made in the texts of a catalog, all of them or none
``tables``  one table of one file: comments, order and spelling of everything else stay
``notes``   the comment behind a figure

Whether the outcome is a sound catalog is asked afterwards (`buildsheet.catalog.reading`): a draft may
be wrong for a while.
"""
