"""The commands of the day itself: what is noted, what a silence was, the rest planned anew."""
