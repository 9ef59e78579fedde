"""`decisions.csv`: what was decided for the day, obeyed by every command.

In: the bytes of the file and the day without it, or a demand to be kept or lifted.
Out: the day under its decisions, every fault of the file, the file written anew.
"""
