"""What the pages ask, worked out in a process beside the server: a module for each question.

In: a day folder and plain data; a memory for what is worth keeping until the next question.
Out: plain data, as often as there is something better to say.
"""
