"""Hostile input: files mutated in their own structure, options, and texts that would be code.

Whatever is given, there is an answer or a refusal in words: no traceback, no standing still, little
memory, and nothing written but where it was asked for.
"""
