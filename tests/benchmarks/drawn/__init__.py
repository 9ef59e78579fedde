"""What the days of the benchmarks are drawn from; nothing is tested or measured here."""
