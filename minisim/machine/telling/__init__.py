"""What stands behind `minisim.machine.sentences`: a step taken apart, and its parts in words.

`wording` reads the texts of the instruction table; `course` parts a step into traps and the instruction itself;
`places` finds its operands again; `values` fills in numbers; `codes` and `ends` tell condition codes and where it
goes on.
"""
