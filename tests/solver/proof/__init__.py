"""The proof that no order is worth more: its labels, its bounds, and the second way to check it."""
