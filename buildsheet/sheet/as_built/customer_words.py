"""What every rider is told, in the same words."""

from __future__ import annotations

from typing import Final

LAW_FIRST: Final = (
    "Local law and the makers' own instructions come first. The lowest limit of any part counts."
)

NOT_FOR_RIDING: Final = (
    "NOT FOR RIDING. This wheel has no certificate: it is not finished, or nobody stands for it as it is"
    " now. Send it back to the workshop."
)

FIRST_RIDE: Final[tuple[str, ...]] = (
    "Before the first ride: axle closed as its maker says, tyre seated all round, brake tried at walking"
    " pace. The rim touches neither frame nor pads when the wheel spins.",
    "After the first 100 to 200 km: have tension and trueness checked by a qualified person. Spokes,"
    " nipples and tyre settle in; a wheel that was good may need a touch.",
    "Then once a year, and after every crash or hard hit, before it is ridden again.",
    "Before every ride: look round the rim for cracks, above all where spokes enter; press pairs of"
    " spokes together, none may feel slack; push the rim sideways, the hub may not rattle.",
    "Stop riding on any noise that was not there, on a wobble, a crack, a broken or slack spoke. Do not"
    " ride home on it.",
)
"""Check distances: common practice."""

CAUTIONS: Final[tuple[str, ...]] = (
    "A wheel that fails can throw the rider and can kill.",
    "Never above the pressure listed: the rim can burst. The tyre's own limit counts where it is lower.",
    "Never more mass than listed: rider, bicycle and everything carried, together.",
    "Only tyres in the range listed, only pads made for this rim, only rotors that the hub is made for.",
    "Spokes are under load. Let only qualified people, with a calibrated gauge, turn nipples or replace"
    " spokes; every change belongs in the record of this wheel.",
)

CLASSES: Final = (
    "Use classes are numbered as in EN 17406. Ask the workshop what a class allows before you ride"
    " anything rougher than the bicycle was sold for."
)

SPARES: Final = (
    "Order by type and length. Left is the rider's left, sitting on the bicycle; on a rear wheel the"
    " gears are right. Lengths of the two sides are not to be exchanged."
)
