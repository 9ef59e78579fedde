"""A new day folder: its place and hours under its sun, and the shots of somebody's list.

In: a place, a date and a list as people write them, and answers to what they leave open.
Out: the folder with its files, or what is still open, as data.
"""
