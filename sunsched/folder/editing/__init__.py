"""The shot list of a day folder edited where it stands: single cells change, all else stays.

In: the list's bytes, and what somebody changed in its table.
Out: the bytes of the new list, saved whole, or what stands against that, cell by cell.
"""
