"""From the builder's text to a `System`, or to all of the mistakes in it at once.

In: the path of a YAML file or of a folder of them. Out: a `Reading`. On the way: text → nodes
with their places → plain data of texts → repeated entries filled in → records → names that must
exist.
"""

from elec.read.reading import Reading, files_of, read, read_texts

__all__ = ["Reading", "files_of", "read", "read_texts"]
