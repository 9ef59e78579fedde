"""What `--json` prints.

In: what a command found.
Out: plain dicts, times in ISO 8601 with the local offset.
"""
