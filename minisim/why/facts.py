"""The facts that symptom files may name: a closed set, each a function of one case with a docstring.

A fact answers True, False or None (the loadout does not tell) and says in a clause how it is in this machine.  Facts
about the machine stand in facts_machine.py, those about what the owner saw in facts_words.py.
"""

from __future__ import annotations

from minisim.why import facts_machine, facts_words
from minisim.why.case import Case
from minisim.why.fact_register import FACTS, Fact
from minisim.why.model import Answer, Condition

__all__ = ["FACTS", "Fact", "answer"]

_ENTERED = (facts_machine, facts_words)  # importing them enters their facts


def answer(case: Case, condition: Condition) -> Answer:
    """What one condition says about a case."""
    return FACTS[condition.fact].function(case, condition.argument)
