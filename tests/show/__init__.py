"""Guarded here: texts, pictures and sheets: nothing cut, covered or stale."""
