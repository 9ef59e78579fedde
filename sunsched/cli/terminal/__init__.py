"""The terminal itself: what it is never sent, and the Ctrl-C that comes from it.

In: what is printed, and presses.
Out: texts that command no terminal; work that ends with what it knows.
"""
