"""Skylines that are made: against closed forms, a geodesy library, and brute force."""
