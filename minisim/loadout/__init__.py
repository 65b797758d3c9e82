"""The loadout: the single truth about one machine.

`model` holds the records, `reader` makes them from a file, `writer` makes a file of them, `schema` describes the file
to editors.  Reader and schema follow `declarations`, where every key stands once; `fields`, `places` and `settings` say
what text means; `convert` walks the YAML by the declarations; `build`, `boards` and `cables` check what needs the
catalogue.
"""
