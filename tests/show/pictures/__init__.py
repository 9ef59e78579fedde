"""Pictures of whole orders and of all shots: what stands where, and words that fit."""
