"""The wheel file: one wheel as bare dimensions, read strictly and answered with all its mechanics.

No catalog and no house figure takes part: a prototype rim or a published wheel is enough.

``document``  the form of the file
``reading``   the text as a `WheelFile`, or everything that is wrong with it
``answer``    the figures of a read file
``remarks``   what the figures give reason to say
``codes``     every code that is said here, with its reason and source
"""

from buildsheet.plan.wheel_file.answer import answer
from buildsheet.plan.wheel_file.codes import WHEEL_FILE_CODES
from buildsheet.plan.wheel_file.document import WheelFile
from buildsheet.plan.wheel_file.reading import read

__all__ = ["WHEEL_FILE_CODES", "WheelFile", "answer", "read"]
