"""Frames, lenses and weather against geometry worked out another way, and published equations."""
