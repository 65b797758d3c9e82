"""The running machine: made from a loadout or bare, run, looked at, frozen.

Import from `minisim`; the files here are how it is done: `devices` as data go through `tables` into the core,
`machine` is the public object, `views` its registers, memory and lines, `frozen` its state as bytes.
"""
