"""Change a system's files as a careful hand would: what is not asked for stays byte for byte.

In: the files of a system, and changes named by path. Out: their new bytes and a diff; on the disk
only when asked. Every change is read again and compared with what was asked; what does not read
as asked is refused.
"""

from elec.read.edit.edits import Edits
from elec.read.edit.save import CannotSave
from elec.read.edit.spans import CannotEdit
from elec.read.edit.words import Value

__all__ = ["CannotEdit", "CannotSave", "Edits", "Value"]
