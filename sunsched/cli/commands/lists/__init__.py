"""The commands that begin with somebody's own list.

In: a file of any layout.
Out: a day folder.
"""
