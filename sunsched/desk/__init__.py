"""The day on a screen: a local page over the day folder, for several hands at once.

In: day folders, and requests of browsers on this machine or the set's own network.
Out: pages and answers; what is decided or noted goes into the files, as commands do it.
"""
