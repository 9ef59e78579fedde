"""The facts of one shooting day: what is asked, frozen, and nothing that is decided.

In: nothing; only the reader of folders and tests make a day.
Out: `Day` with its shots, wishes, spots, people, costs and what it has behind it.
"""
