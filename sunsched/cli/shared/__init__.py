"""What several commands share: options, reading a day, finding its plan, writing, Ctrl-C.

In: the words of a command.
Out: a day, a plan, a file written; a drawing made in a process of its own.
"""
