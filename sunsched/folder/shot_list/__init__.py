"""The shot list: one row, one shot.

In: rows of named cells and the facts of `day.toml`.
Out: shots with their wishes, or every fault of every row.
"""
