"""Files of a day folder: what may be replaced, what may be added to, and what is left alone."""
