"""What may still be chosen: any part of an order in, every value that still leads somewhere out.

``places``     the places of an order that have a list, and the lists
``part``       a part of an order document, read
``columns``    the sound wheels of a position, as columns of list numbers
``verdicts``   what each check says about each combination of members, asked once
``sorting``    which checks bear on the order, on one wheel, on what goes together
``tables``     choices and checks as a space that is counted
``shelf``      one kind of order for one kind of bicycle: wheels, lists, and the space of what goes together
``standing``   how a part of an order stands on a shelf
``assortment`` one edition prepared, with all its shelves
``ways``       the complete orders through every value of every open place
``nearest``    the wheels that come nearest to a part
``closing``    the one finding that closes a value       ``dead_end``  the way back from a part without ways
``answer``     the answer                                ``offer``     the door: `choices`
``codes``      the code that only all checks together can give        ``words``  places in words
"""

from buildsheet.space.choices.answer import Choices, Closed, Way
from buildsheet.space.choices.codes import CHOICE_CODES
from buildsheet.space.choices.offer import choices, choices_posted

__all__ = ["CHOICE_CODES", "Choices", "Closed", "Way", "choices", "choices_posted"]
