"""How fast the order solver proves a day: seeded days, and a runner that prints the table."""
