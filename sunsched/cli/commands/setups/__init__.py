"""The command for who builds: the gaffer and the key grip.

In: a day with a plan, or a spot and a look at a time.
Out: what the sun does to each setup, and what to build for it.
"""
