"""Parts as spreadsheets: one sheet for each kind, one row for each part, one column for each key.

The form
--------
* The first row holds the keys, with their units in the name: ``code``, ``depth_mm``,
  ``left_flange.circle_mm`` for a key of a table. Written ``Depth (mm)`` it is found too; a header that
  is no key is refused with the nearest.
* Every further row is a part. A column that is not there leaves its key as it stands; an empty cell
  takes the key out (*unknown*). Rows that are not there leave their parts alone.
* Text and codes are text cells. A code that a spreadsheet made into a date, a number or a power of ten
  is refused with what happened. Spaces around a text do not count. ``"`` and *same as above* are
  refused: they change their meaning when rows are sorted.
* Numbers are number cells, or text with a decimal comma or a decimal point; a file has one of the two.
* A list is one cell: ``20 24 28``, ``12x100 15x100``, colours with semicolons: ``dark red; black``.
  ``none`` is the empty list.
* A list of tables is one cell: ``holes=20 front_kg=90; holes=24 front_kg=105 rear_kg=100``.
* Text that a spreadsheet would take for a formula, or that would not come back as it is, is written in
  double quotes as JSON writes it, and read back from there.

House figures and rules are not in spreadsheets: they go with the catalog's text files.

The rooms inside
----------------
``grid``      cells with their addresses; what a cell can hold
``workbook``  .xlsx bytes to grids (the only importer of openpyxl that reads)
``commas``    .csv bytes to a grid
``columns``   the columns of a kind, from its model
``quoting``   texts that would not come back as they are
``entries``   one cell to the value of one key, and back
``headers``   the first row to columns
``reading``   a file to rows of values, and every fault in it
``comparing`` rows against the texts of a catalog: edits, changes, and faults at their cells
``writing``   an edition as sheets of cells

Nothing here touches the disk: bytes are handed in.
"""
