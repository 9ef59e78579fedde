"""Tables of a day folder, as text: .csv and workbooks, horizons and clouds.

In: a file of the folder.
Out: rows of named cells with their lines; the tables of the sky as values.
"""
