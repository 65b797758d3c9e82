"""Lessons: a file each, read, taught at a bench, tested by their own solutions, printed.

`reader` makes a `Lesson` of a file, `teacher` takes a learner through it, `selftest` runs every one by itself,
`handout` prints them and `slip` is what a visitor takes home.
"""
