"""What publishing an edition would do, before it is published.

`content` says what differs, `configurations` which wheels appear, disappear or change, `orders` which
open orders would be answered otherwise, `proposals` what to do about each, `shelves` what lies there for
nothing, `impact` puts it together. `lengths`, `decals` and `released` are what else
may differ; `examples` picks the wheels that are shown.
"""
