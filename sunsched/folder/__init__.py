"""The day folder: the one reader of it, and the starter.

In: files that people write.
Out: a `Day` with its warnings, or every fault at once.
"""
