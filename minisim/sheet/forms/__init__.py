"""The three forms of a sheet: HTML (one page that stands alone), PDF, and text of 72 columns."""
