"""What a symptom means in one machine: words to a symptom, its causes ranked by what the loadout shows.

The knowledge is data: symptoms/*.yaml, one file a symptom; causes.yaml for those that several share; words.yaml for
words that mean the same.  Python holds the small closed sets the data may name: kinds of numbers (numbers.py), facts
(facts.py), things said in braces (sayings.py) and lists of places (lists.py).
"""

from minisim.why.diagnosis import Diagnosis, diagnose

__all__ = ["Diagnosis", "diagnose"]
