"""Runs by the hour that look for what is wrong: mutated files, interrupts and kills, proofs."""
