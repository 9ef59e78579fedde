"""What long work asks of the machine: compiled functions, and whether somebody wants it to end.

In: a function of numbers and arrays; an end that is asked for.
Out: the function compiled, kept from one run to the next; whether work is to end.
"""
