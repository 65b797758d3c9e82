"""How fast the core is, measured beside other ways of doing the same work.  `main.main` prints the report.

Nothing of this is installed with minisim; `make bench` runs it from the folder of the sources.
"""
