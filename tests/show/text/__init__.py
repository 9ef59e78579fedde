"""Texts for a terminal: room, wide signs, and words from right to left."""
