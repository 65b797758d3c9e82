"""Drawings of the sheet: backplanes from the board side, wires from the pin side, switches.

Flat and black on white; what carries meaning is a shape, a hatching or a kind of line, never a colour.  Every drawing
says the same in lines of plain characters.  `Wired` is all they look at.
"""
