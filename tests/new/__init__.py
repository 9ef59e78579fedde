"""A new day folder of what a form asks for: made whole, or told what is open."""
