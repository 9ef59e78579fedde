"""The shot list as a table that is edited.

In: what somebody changes, for the list as they saw it.
Out: faults at their cells, the light of each row, and the list saved or both versions of it.
"""
