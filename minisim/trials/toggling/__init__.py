"""A trial as a card for the hands of a person: words to key in, lamps to expect; and a rehearsal.

`card` makes the card of a case, `choose` finds which case, `paper` prints it, `rehearsal` watches a person key it in.
"""
