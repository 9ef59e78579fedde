"""The facts of one shooting day: what is asked for, and nothing that is decided. All is frozen.

In: nothing; only the reader of folders and tests make a day.
Out: `Day` with its shots, wishes, spots, people, costs and what has happened so far.
"""
