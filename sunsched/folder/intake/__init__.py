"""A list as it comes: its head found, its columns understood, and all that was taken for what told.

In: rows of cells in anybody's layout, or the lines of a mail.
Out: rows of the shot list's columns, the columns that are kept as they are, and notes of it all.
"""
