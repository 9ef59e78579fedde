"""Day folders as they stand: which there are, when they change, what their page shows.

In: folders on the disk.
Out: their names, marks of their versions, their data as it is now.
"""
