"""The build sheet: a checked loadout as pages that go to the bench and to the next owner.

`build` makes a `Document` of blocks (`blocks`), `forms/` show it as HTML, PDF and text; all say the same, because they
only show blocks.  Every text stands in the catalogue of messages, `messages/en/*.ftl`.
"""
