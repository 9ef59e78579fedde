"""Days drawn from a seed for the benchmarks, and their shot lists; nothing is measured here."""
