"""Processes that answer what takes longer than a page may stand still.

In: questions as plain data, each with the name of its answer.
Out: answers as plain data, one after the other as they get better; a process can be ended.
"""
