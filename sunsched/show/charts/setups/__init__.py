"""Pictures of a setup: what stands where around a subject.

In: the gaffer's page of a shot, with its sun.
Out: figures.
"""
