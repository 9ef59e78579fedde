"""The order of a shooting day outdoors that keeps the most light: proven, priced and replanned."""
