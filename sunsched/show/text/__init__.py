"""Plain text for a terminal.

In: what a command found, and the width.
Out: lines without colour or control signs.
"""
