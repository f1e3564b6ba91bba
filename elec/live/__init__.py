"""The page beside the editor: served on this machine alone, drawn again when a file is saved.

In: the path of a system. Out: `Watched`, the last good page with what the last save changed
(watched.py), which is told as it becomes known (answers.py); a server for it that nobody but this
machine reaches (server.py).
"""
