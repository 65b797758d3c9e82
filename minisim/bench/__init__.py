"""The bench: a machine on the table, looked at, changed and taken instruction by instruction, by lines of words.

`bench.py` is the whole of it without a screen; each word is a file of `verbs/`; `view.py` has what screens show, and
`plain.py` is the bench as lines.
"""
