"""Guarded here: proofs, against brute force, general solvers and published instances."""
