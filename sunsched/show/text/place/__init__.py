"""What is said of a place itself: where it is, what hides its sky, which way a lens looks there.

In: the facts of a place, and of its sun.
Out: text, and records for JSON.
"""
