"""Event mode: a terminal before which visitors come and go; `model.py` what happens, `diary.py` what is counted,
`screen.py` what is shown.
"""
