"""The command that shows days on a screen.

In: a day folder, or none for all that stand where the command is given.
Out: the address of a page, which answers until Ctrl-C.
"""
