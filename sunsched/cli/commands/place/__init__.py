"""Commands about the place itself, a module for each.

In: the words of one command.
Out: text or JSON on stdout, messages on stderr, a file of the day folder.
"""
