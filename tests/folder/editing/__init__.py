"""The shot list edited in place: bytes that stay, faults by cell, two editors at once."""
