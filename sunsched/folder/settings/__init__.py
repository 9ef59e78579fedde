"""`day.toml`: its keys, what each may be, and what they mean together.

In: a TOML document with the line of every key.
Out: place, hours, meal, spots, cast, rigs, matches and costs.
"""
